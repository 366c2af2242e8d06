import { answerOnKeptThread } from '../kept-threads.ts';
import { drawReps, type RepInput } from './rep-on-thread.ts';

answerOnKeptThread<RepInput>((input, { onProgress }) => Promise.resolve(drawReps(input, onProgress)));
