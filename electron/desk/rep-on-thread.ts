import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import type { SetCourse } from '../../shared-lib/contract/set.ts';
import { quarters, type Quarter } from '../../shared-lib/pair/joint-draws.ts';
import { measureWithUncertainty } from '../../shared-lib/pair/uncertainty.ts';
import { drawLoss, lossOf, type MeanDrives } from '../../shared-lib/pair/velocity-loss.ts';
import { drawnWays, type DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { onKeptThread } from '../kept-threads.ts';
import type { ThreadCaller } from '../threads.ts';
import { drawingThread } from './drawing-thread.ts';
import type { Job } from './follow-clip.ts';
import { sideBySide } from './jobs.ts';

/** What a measuring thread is given: reps of a clip, from 0, and what is wanted of each, or of all as a set. */
export type RepInput = { measured: MeasuredClip } & (
  | { wanted: 'measures' | 'ways'; indexes: readonly number[] }
  | { wanted: 'velocity loss'; meanDriveMps: MeanDrives; which: readonly Quarter[] }
);

type Measures = ReturnType<typeof measureWithUncertainty>;

/**
 * Reps from which a second thread is worth it: each compiles the code for itself, which takes as long as drawing three reps does
 * by then (0.4 s against 0.2 s each; two reps and their velocity loss took 2.2 to 2.8 s of processor time on two threads and take 1.4
 * to 1.7 on one, five 3.0 to 3.8 and 2.2 to 2.8).
 */
const fewestForTwo = 4;

/** Things to be drawn in as many parts as there are threads for them. @param reps how many are drawn in all */
export const threadsFor = <Thing>(things: readonly Thing[], reps = things.length): Thing[][] =>
  reps < fewestForTwo ? [[...things]] : [0, 1].map((half) => things.filter((_, k) => k % 2 === half));

/** Measures of reps with their intervals, drawn where nothing waits for it. */
export const measuresOnThread = (
  measured: MeasuredClip,
  indexes: readonly number[],
  job: ThreadCaller,
): Promise<Measures[]> =>
  onKeptThread(drawingThread, { measured, indexes, wanted: 'measures' } satisfies RepInput, job);

/** A rep's ways as they may have been, likewise. */
export async function waysOnThread(
  measured: MeasuredClip,
  index: number,
  job: ThreadCaller,
): Promise<DrawnWays> {
  const input: RepInput = { measured, indexes: [index], wanted: 'ways' };
  const [ways] = await onKeptThread<[DrawnWays]>(drawingThread, input, job);
  return ways;
}

/** How much slower a set's last rep is, by the threads that its reps were drawn by. */
export async function velocityLossOnThreads(
  measured: MeasuredClip,
  meanDriveMps: MeanDrives,
  job: Pick<Job, 'signal'>,
): Promise<SetCourse['velocityLoss']> {
  const part = (which: readonly Quarter[]) => (signal: AbortSignal) =>
    onKeptThread<Float64Array | null>(
      drawingThread,
      { measured, wanted: 'velocity loss', meanDriveMps, which } satisfies RepInput,
      { signal },
    );
  const drawn = await sideBySide(job, ...threadsFor(quarters, meanDriveMps.length).map(part));
  return lossOf(meanDriveMps, ...drawn);
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
