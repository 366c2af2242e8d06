import { drawRep, type RepInput } from './rep-on-thread.ts';
import { answerOnThread } from '../threads.ts';

await answerOnThread<RepInput>((input) => Promise.resolve(drawRep(input)));
