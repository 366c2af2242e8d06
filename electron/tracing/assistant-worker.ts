import { answerOnKeptThread } from '../kept-threads.ts';
import { assist, type Errand } from './assistant.ts';
import { loadKernels } from './load-kernels.ts';

loadKernels(0, 0);
answerOnKeptThread<Errand>((errand) => Promise.resolve(assist(errand)));
