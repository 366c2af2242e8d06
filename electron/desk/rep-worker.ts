import { answerOnKeptThread } from '../kept-threads.ts';
import { loadKernelsOnce } from '../tracing/load-kernels.ts';
import { drawReps, type RepInput } from './rep-on-thread.ts';

loadKernelsOnce();
answerOnKeptThread<RepInput>((input, { onProgress }) => Promise.resolve(drawReps(input, onProgress)));
