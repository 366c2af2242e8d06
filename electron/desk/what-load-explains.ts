import type { MarkedRep } from '../../shared-lib/contract/lifter.ts';
import type { Review, SideName } from '../../shared-lib/contract/review.ts';
import { explainLoad, type LoadExplained, type LoadPoint } from '../../shared-lib/load/explain-load.ts';
import { measuredRep, type MeasuredRep, type RepOfClip } from '../lifters/measured-rep.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import type { Job } from './follow-clip.ts';
import type { Desk } from './handlers.ts';

type Follow = (side: RepOfClip, job: Job) => Promise<FollowedClip>;

/**
 * What load alone would bring to the velocity of a review's pair, in a sentence for the coach.
 *
 * @param usual the lifter's marked reps
 */
export async function whatLoadExplains(
  desk: Desk,
  review: Review,
  measured: Record<SideName, MeasuredRep | null>,
  usual: readonly MarkedRep[],
  follow: Follow,
  job: Job,
): Promise<string> {
  return inWords(
    explainLoad({
      lift: review.lift,
      referenceKg: review.reference?.loadKg ?? null,
      todayKg: review.today?.loadKg ?? null,
      referenceMps: measured.reference?.measures.mean_drive_mps?.value ?? null,
      isMaximalIntent: maximalIntent(review),
      own: await ownPoints(desk, review, usual, follow, job),
    }),
  );
}

function maximalIntent({ reference, today }: Review): boolean | null {
  const intents = [reference?.circumstances.intent, today?.circumstances.intent];
  if (intents.every((intent) => intent === 'as fast as possible')) return true;
  return intents.some((intent) => intent === 'controlled') ? false : null;
}

/** The lifter's usual reps of this lift that were driven up as fast as possible, with their loads. */
async function ownPoints(
  desk: Desk,
  review: Review,
  usual: readonly MarkedRep[],
  follow: Follow,
  job: Job,
): Promise<LoadPoint[]> {
  const points: LoadPoint[] = [];
  for (const rep of usual) {
    if (rep.lift !== review.lift || rep.loadKg === null) continue;
    if (rep.circumstances.intent !== 'as fast as possible') continue;
    // A clip that moved away takes its point along, and nothing else.
    const measured = await measuredRep(desk, rep, follow, job).catch(() => null);
    const mean = measured?.measures.mean_drive_mps;
    if (mean) points.push({ loadKg: rep.loadKg, meanDriveMps: mean.value });
  }
  return points;
}

function inWords(explained: LoadExplained): string {
  if (explained.kind === 'none') return explained.why;
  const { value, lo95, hi95 } = explained.change;
  const mps = (v: number): string => v.toFixed(2).replace('-', '−');
  return `Load alone would change mean drive velocity by ${mps(value)} m/s (${mps(lo95)} to ${mps(hi95)} m/s), after ${explained.basis}. Guidance for the coach; no ground for the next attempt.`;
}
