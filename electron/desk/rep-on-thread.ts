import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import type { SetCourse } from '../../shared-lib/contract/set.ts';
import type { Quarter } from '../../shared-lib/pair/joint-draws.ts';
import { measureWithUncertainty } from '../../shared-lib/pair/uncertainty.ts';
import { drawLoss, lossOf, type MeanDrives } from '../../shared-lib/pair/velocity-loss.ts';
import { drawnWays, type DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { onKeptThread } from '../kept-threads.ts';
import type { ThreadCaller } from '../threads.ts';
import type { Job } from './follow-clip.ts';
import { sideBySide } from './jobs.ts';

/** What a measuring thread is given: reps of a clip, from 0, and what is wanted of each, or of all as a set. */
export type RepInput = { measured: MeasuredClip } & (
  | { wanted: 'measures' | 'ways'; indexes: readonly number[] }
  | { wanted: 'velocity loss'; meanDriveMps: MeanDrives; which: readonly Quarter[] }
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

/** How much slower a set's last rep is, each half of the draws on a thread of its own. */
export async function velocityLossOnThreads(
  measured: MeasuredClip,
  meanDriveMps: MeanDrives,
  job: Pick<Job, 'signal'>,
): Promise<SetCourse['velocityLoss']> {
  const half = (which: readonly Quarter[]) => (signal: AbortSignal) =>
    onKeptThread<Float64Array | null>(
      thread,
      { measured, wanted: 'velocity loss', meanDriveMps, which } satisfies RepInput,
      { signal },
    );
  return lossOf(meanDriveMps, ...(await sideBySide(job, half([0, 1]), half([2, 3]))));
}

/** What the thread does. */
export function drawReps(
  input: RepInput,
  onProgress: (share: number) => void,
): (Measures | DrawnWays)[] | Float64Array | null {
  const { measured } = input;
  if (input.wanted === 'velocity loss') return drawLoss(measured, input.meanDriveMps, {}, input.which);
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
