import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import { measureWithUncertainty } from '../../shared-lib/pair/uncertainty.ts';
import { drawnWays, type DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { onKeptThread } from '../kept-threads.ts';
import type { ThreadCaller } from '../threads.ts';

/** What a measuring thread is given: reps of a clip, from 0, and what is wanted of each. */
export interface RepInput {
  measured: MeasuredClip;
  indexes: readonly number[];
  wanted: 'measures' | 'ways';
}

type Measures = ReturnType<typeof measureWithUncertainty>;

/** The thread's file beside this one, as built in dist. */
const thread = new URL('./rep-worker.js', import.meta.url);

/** Measures of reps with their intervals, drawn where nothing waits for it. */
export const measuresOnThread = (
  measured: MeasuredClip,
  indexes: readonly number[],
  job: ThreadCaller,
): Promise<Measures[]> =>
  onKeptThread(thread, { measured, indexes, wanted: 'measures' } satisfies RepInput, job);

/** A rep's ways as they may have been, likewise. */
export async function waysOnThread(
  measured: MeasuredClip,
  index: number,
  job: ThreadCaller,
): Promise<DrawnWays> {
  const input: RepInput = { measured, indexes: [index], wanted: 'ways' };
  const [ways] = await onKeptThread<[DrawnWays]>(thread, input, job);
  return ways;
}

/** What the thread does. */
export function drawReps(
  { measured, indexes, wanted }: RepInput,
  onProgress: (share: number) => void,
): (Measures | DrawnWays)[] {
  return indexes.map((index, i) => {
    onProgress(i / indexes.length);
    return wanted === 'ways'
      ? drawnWays(measured, index)
      : measureWithUncertainty(measured, index, {
          onProgress: (share) => onProgress((i + share) / indexes.length),
        });
  });
}
