import type { RepFileEntry, RepsFile } from '../../shared-lib/contract/files.ts';
import type { Rep } from '../../shared-lib/rep/find-reps.ts';
import type { MeasureName } from '../../shared-lib/contract/measures.ts';
import type { Measure } from '../../shared-lib/contract/rep.ts';
import { traceCsv } from '../../shared-lib/page/csv.ts';
import { setTrends } from '../../shared-lib/band/set-trends.ts';
import type { SetCourse } from '../../shared-lib/contract/set.ts';
import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';
import type { OutputFolder } from './output-folder.ts';
import type { RepsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';
import { parts, sideBySide } from './jobs.ts';
import { measuresOnThread, threadsFor, velocityLossOnThreads } from './rep-on-thread.ts';

export const clipFiles = ['clip.json', 'trace.csv', 'reps.json'] as const;

export const asJson = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/**
 * Measures of each rep with their uncertainties.
 *
 * @param known a rep's, where they are known already
 */
export async function repEntries(
  { measured, reps }: RepsOfClip,
  job: Job,
  known?: RepFileEntry,
): Promise<RepFileEntry[]> {
  const missing = [...reps.keys()].filter((i) => known?.rep !== i + 1);
  const halves = threadsFor(missing).filter((half) => half.length > 0);
  const work = parts(job, Object.fromEntries(halves.map((half, k) => [k, half.length])));
  const entries = await sideBySide(
    job,
    ...halves.map((half, k) => async (signal: AbortSignal) => {
      const measures = await measuresOnThread(measured, half, { ...work[k], signal });
      return half.map((i, at) => repEntry(reps[i], i, measures[at]));
    }),
  );
  return [...entries.flat(), ...(known ? [known] : [])].sort((a, b) => a.rep - b.rep);
}

/** A rep as its file says it. */
export function repEntry(
  { events }: Rep,
  index: number,
  measures: Record<MeasureName, Measure | null>,
): RepFileEntry {
  return {
    rep: index + 1,
    start_s: events.startS,
    touch_s: events.touchS,
    bottom_s: events.bottomS,
    pause_start_s: events.pauseStartS,
    pause_end_s: events.pauseEndS,
    drive_start_s: events.driveStartS,
    lockout_s: events.lockoutS,
    outcome: events.outcome,
    earlier_attempts: events.earlierAttempts,
    rebound: events.rebound,
    measures,
  };
}

/** The reps of one clip as a set. */
async function setCourseOf(
  measured: MeasuredClip,
  entries: readonly RepFileEntry[],
  signal: AbortSignal,
): Promise<SetCourse> {
  const values = entries.map(({ measures }) => mapValues(measures));
  return {
    reps: entries.length,
    velocityLoss: await velocityLossOnThreads(
      measured,
      values.map((rep) => rep.mean_drive_mps ?? null),
      { signal },
    ),
    trends: setTrends(measured.lift, values),
  };
}

const mapValues = (measures: RepFileEntry['measures']): Partial<Record<MeasureName, number | null>> =>
  Object.fromEntries(Object.entries(measures).map(([name, measure]) => [name, measure?.value ?? null]));

/** Writes clip.json, trace.csv and reps.json under `prefix`. */
export async function writeClipFiles(
  out: OutputFolder,
  clip: RepsOfClip,
  entries: RepFileEntry[],
  { signal }: Pick<Job, 'signal'>,
  prefix = '',
): Promise<void> {
  const repsFile: RepsFile = {
    schema: 1,
    clip: clip.clipFile.media.file,
    lift: clip.measured.lift,
    reps: entries,
    ...(entries.length > 1 ? { set: await setCourseOf(clip.measured, entries, signal) } : {}),
  };
  await out.write(`${prefix}clip.json`, asJson(clip.clipFile));
  await out.write(`${prefix}trace.csv`, traceCsv(traceRows(clip)));
  await out.write(`${prefix}reps.json`, asJson(repsFile));
}

/** The trace with its origin at the first rep's start. */
function traceRows({ followed, smoothed, measured, reps }: RepsOfClip): Parameters<typeof traceCsv>[0] {
  const { trace, plane } = followed;
  const first = repFrame(smoothed.motion, reps[0].events, measured.lift, smoothed.restNoise);
  const { originXM, originYM } = first;
  return trace.samples.map((sample, i) => ({
    frame: sample.frame,
    ptsS: sample.ptsS,
    tS: plane.tS[i],
    xPx: sample.xPx,
    yPx: sample.yPx,
    xM: plane.xM[i] - originXM,
    yM: plane.yM[i] - originYM,
    smoothedXM: smoothed.frame.xM[i] - originXM,
    smoothedYM: smoothed.frame.yM[i] - originYM,
    confidence: sample.confidence,
    state: sample.state,
  }));
}
