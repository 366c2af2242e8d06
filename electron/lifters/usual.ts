import type { MarkedRep } from '../../shared-lib/contract/lifter.ts';
import { headlineMeasures, type MeasureName } from '../../shared-lib/contract/measures.ts';
import type { Review } from '../../shared-lib/contract/review.ts';
import type { UsualRep, UsualReps } from '../../shared-lib/contract/band.ts';
import type { UsualView, WayBand } from '../../shared-lib/contract/usual.ts';
import { bandHalfWidth, fullBandReps, leastReps } from '../../shared-lib/band/measure-band.ts';
import { bandOf } from '../../shared-lib/band/spread.ts';
import { halfWidthsM, pathBand, type LegBand, type PathBand } from '../../shared-lib/band/path-band.ts';
import { whyNotComparable } from '../../shared-lib/cue/comparable.ts';
import type { MeasuredRep } from './measured-rep.ts';

/** Marked reps of the review's lift, sorted by whether they compare with today's rep. */
export function sortMarked(
  marked: readonly MarkedRep[],
  { lift, today }: Review,
): { comparable: MarkedRep[]; notComparable: { rep: MarkedRep; why: string[] }[] } {
  const comparable: MarkedRep[] = [];
  const notComparable: { rep: MarkedRep; why: string[] }[] = [];
  for (const rep of marked.filter((each) => each.lift === lift)) {
    const isToday = rep.clip.sha256 === today?.clip.sha256 && rep.rep === (today.rep ?? 1);
    const why = isToday
      ? ['It is today’s rep itself.']
      : today
        ? whyNotComparable(rep, { lift, loadKg: today.loadKg, circumstances: today.circumstances })
        : ['There is no rep of today yet.'];
    if (why.length === 0) comparable.push(rep);
    else notComparable.push({ rep, why });
  }
  return { comparable, notComparable };
}

const usualRep = (rep: MarkedRep, { measures }: Pick<MeasuredRep, 'measures'>): UsualRep => ({
  clip: rep.clip.sha256,
  rep: rep.rep,
  day: rep.day,
  measures,
});

/** The comparable reps as a comparison takes them. */
export const usualReps = (
  { today }: Review,
  comparable: readonly MarkedRep[],
  measured: readonly Pick<MeasuredRep, 'measures'>[],
): UsualReps => ({
  reps: comparable.map((rep, i) => usualRep(rep, measured[i])),
  todayClip: today?.clip.sha256 ?? '',
});

/** The bands of the comparable reps, as screens draw them. */
export function usualView(
  review: Review,
  sorted: ReturnType<typeof sortMarked>,
  measured: readonly MeasuredRep[],
  today: MeasuredRep | null,
): UsualView {
  const { comparable, notComparable } = sorted;
  const usual = usualReps(review, comparable, measured);
  const sessions = new Set(comparable.map(({ day }) => day)).size;
  const path = pathBand(measured.map((rep) => rep.path));
  return {
    comparable: comparable.length,
    marked: comparable.length + notComparable.length,
    sessions,
    state: stateOf(usual),
    path: path && { down: wayOf(path, path.down), up: wayOf(path, path.up) },
    measures: usualMeasures(headlineMeasures(review.lift), usual, today?.measures ?? null),
    notComparable: notComparable.map(
      ({ rep, why }) => `${rep.clip.name}, rep ${rep.rep}, ${rep.day}: ${why.join(' ')}`,
    ),
  };
}

/** Where the next rep's measures fall with 95 %, of those that have a band. */
export const usualMeasures = (
  names: readonly MeasureName[],
  usual: UsualReps,
  now: MeasuredRep['measures'] | null,
): UsualView['measures'] =>
  names.flatMap((name) => {
    const band = bandOf(name, usual);
    if (!band) return [];
    const today = now?.[name] ?? null;
    const half = bandHalfWidth(band, today?.u95 ?? 0);
    return [{ name, lo95: band.mean - half, hi95: band.mean + half, today: today?.value ?? null }];
  });

/** What a band of so many reps is, or what it lacks, in words. */
export function stateOf({ reps }: UsualReps): string {
  const n = reps.length;
  const sessions = new Set(reps.map(({ day }) => day)).size;
  if (n < leastReps) {
    const lacking = leastReps - n;
    return `No band yet: mark ${lacking} more ${lacking === 1 ? 'rep that compares' : 'reps that compare'} with today’s.`;
  }
  if (n < fullBandReps) return `A thin band of ${n} reps: five or more from two sessions make a full one.`;
  if (sessions < 2) return `A thin band: its ${n} reps come from a single session.`;
  return `A full band of ${n} reps from ${sessions} sessions.`;
}

const wayOf = (path: PathBand, leg: LegBand | null): WayBand | null => {
  if (!leg) return null;
  const half = halfWidthsM(path, leg);
  return {
    heightM: leg.heightM,
    loXM: leg.meanM.map((x, i) => x - half[i]),
    hiXM: leg.meanM.map((x, i) => x + half[i]),
  };
};
