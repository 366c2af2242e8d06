import type { Lift } from '../contract/lift.ts';
import { measureInfo, type ChangeName } from '../contract/measures.ts';
import type { Call, Change } from '../contract/pair.ts';
import { sentenceOf, surestFirst } from './sentences.ts';

/** One headline measure in words. `delta` is the difference worth acting on, SI; null where none is agreed. */
export interface HeadlineSentence {
  name: string;
  sentence: string;
  call: Call | null;
  delta: number | null;
}

/** The changes that are called, as sentences, the surest and largest first. */
export const headlineSentences = (changes: readonly Change[], lift: Lift): HeadlineSentence[] =>
  surestFirst(changes.filter(({ call }) => call !== null)).map((change) => ({
    name: change.name,
    sentence: sentenceOf(change, lift),
    call: change.call,
    delta: measureInfo[change.name as ChangeName].delta,
  }));
