import { median } from 'd3-array';
import { calibratedOnce } from '../../../electron/desk/calibrated-clip.ts';
import { repsOfClip } from '../../../electron/desk/clip-reps.ts';
import { trackFile } from '../../../electron/desk/follow-clip.ts';
import type { ComparisonInput } from '../../../electron/desk/compare-on-thread.ts';
import { measuredSideOf } from '../../../electron/desk/measured-side.ts';
import type { MediaTools } from '../../../electron/media/find-ffmpeg.ts';
import { trackClip } from '../../../electron/tracing/track-clip.ts';
import { onKeptThread } from '../../../electron/kept-threads.ts';
import { nothingSaid } from '../../../shared-lib/contract/review.ts';
import { builtAs } from './speed-bench.ts';

/**
 * What moving one event of a followed squat costs, milliseconds: first and later times to new numbers, as the desk works
 * them out while the event is dragged, and to new intervals of the pair of the clip with itself: when it is first compared, and
 * from then on.
 */
export async function movedEventMs(
  file: string,
  tools: MediaTools,
): Promise<{ first: number; later: number; opened: number; settled: number }> {
  const job = { signal: new AbortController().signal, onProgress: () => undefined };
  const tracked = await trackFile(file, nothingSaid, tools, job, trackClip);
  const moved = (k: number) => [{ rep: 1, event: 'start', fileS: 0.5 + 0.01 * k } as const];
  const numbers = (k: number): number => {
    const beganMs = performance.now();
    measuredSideOf(repsOfClip(calibratedOnce(file, tracked, nothingSaid), 'squat', moved(k)));
    return performance.now() - beganMs;
  };
  // Follow has shown the clip before anything can be moved in it.
  measuredSideOf(repsOfClip(calibratedOnce(file, tracked, nothingSaid), 'squat'));
  const first = numbers(0);
  const later = median(Array.from({ length: 9 }, (_, k) => numbers(k + 1)))!;
  const followed = calibratedOnce(file, tracked, nothingSaid);
  const side = { rep: 1, loadKg: null };
  const intervals = async (k: number): Promise<number> => {
    const beganMs = performance.now();
    const reference = { ...side, events: moved(k) };
    const question = { lift: 'squat', sameCamera: false, reference, today: side } as const;
    const input: ComparisonInput = { question, followed: { reference: followed, today: followed } };
    await onKeptThread(builtAs('drawing-worker.js'), input, job);
    return performance.now() - beganMs;
  };
  const opened = await intervals(0);
  const settled = [await intervals(1), await intervals(2), await intervals(3)];
  return { first, later, opened, settled: median(settled)! };
}
