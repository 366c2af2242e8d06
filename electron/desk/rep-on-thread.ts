import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import type { SetCourse } from '../../shared-lib/contract/set.ts';
import { measureWithUncertainty } from '../../shared-lib/pair/uncertainty.ts';
import { velocityLoss } from '../../shared-lib/pair/velocity-loss.ts';
import { drawnWays, type DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { onKeptThread } from '../kept-threads.ts';
import type { ThreadCaller } from '../threads.ts';

/** What a measuring thread is given: reps of a clip, from 0, and what is wanted of each, or of all as a set. */
export type RepInput = { measured: MeasuredClip } & (
  | { wanted: 'measures' | 'ways'; indexes: readonly number[] }
  | { wanted: 'velocity loss'; meanDriveMps: Parameters<typeof velocityLoss>[1] }
);

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

/** How much slower a set's last rep is, likewise. @param meanDriveMps as `velocityLoss` has it */
export const velocityLossOnThread = (
  measured: MeasuredClip,
  meanDriveMps: Parameters<typeof velocityLoss>[1],
  job: ThreadCaller,
): Promise<SetCourse['velocityLoss']> =>
  onKeptThread(thread, { measured, wanted: 'velocity loss', meanDriveMps } satisfies RepInput, job);

/** What the thread does. */
export function drawReps(
  input: RepInput,
  onProgress: (share: number) => void,
): (Measures | DrawnWays)[] | SetCourse['velocityLoss'] {
  const { measured } = input;
  if (input.wanted === 'velocity loss') return velocityLoss(measured, input.meanDriveMps);
  const { indexes, wanted } = input;
  return indexes.map((index, i) => {
    onProgress(i / indexes.length);
    return wanted === 'ways'
      ? drawnWays(measured, index)
      : measureWithUncertainty(measured, index, {
          onProgress: (share) => onProgress((i + share) / indexes.length),
        });
  });
}
