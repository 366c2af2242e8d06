import { answerOnThread } from '../threads.ts';
import { readAhead, type ReadingRequest } from './read-ahead.ts';

await answerOnThread<ReadingRequest>(readAhead);
