import { answerOnKeptThread } from '../kept-threads.ts';
import { assist, type SearchErrand, type SettleErrand } from './assistant.ts';
import { loadKernels } from './load-kernels.ts';

loadKernels(0, 0);
answerOnKeptThread<SearchErrand | SettleErrand>((errand) => Promise.resolve(assist(errand)));
