import { answerOnKeptThread } from '../kept-threads.ts';
import { loadKernels } from '../tracing/load-kernels.ts';
import { drawReps, type RepInput } from './rep-on-thread.ts';

// Draws run as compiled code; there are no pictures here.
loadKernels(0, 0);
answerOnKeptThread<RepInput>((input, { onProgress }) => Promise.resolve(drawReps(input, onProgress)));
