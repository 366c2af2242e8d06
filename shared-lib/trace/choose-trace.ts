import { mean, median, quantile } from 'd3-array';
import type { Rim } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import type { DiscMeasurement } from './follow-disc.ts';

/** One disc followed through a clip: its measurements, one per frame in time order. */
export interface FollowedDisc {
  rim: Rim;
  measurements: DiscMeasurement[];
  /** Of the same disc with its rim placed wrongly, before: where it travelled, and nothing else. */
  earlier?: readonly DiscMeasurement[];
}

/** A bar that a lifter moves travels at least this far: the least range of a rep. */
const leastTravelM = 0.15;

/** How far a disc travelled up and down, metres by its own size, and how well its rim was seen on the way. */
export function evidenceOf(disc: FollowedDisc): { travelM: number; seenShare: number; rimShare: number } {
  const seen = disc.measurements.filter((m) => m.confidence > 0);
  if (seen.length < 5) return { travelM: 0, seenShare: 0, rimShare: 0 };
  const heights = [...(disc.earlier ?? []).filter((m) => m.confidence > 0), ...seen].map((m) => m.yPx);
  const travelPx = quantile(heights, 0.98)! - quantile(heights, 0.02)!;
  return {
    travelM: (travelPx / disc.rim.aPx) * usualDiscRadiusM,
    seenShare: seen.length / disc.measurements.length,
    rimShare: seen.reduce((sum, m) => sum + m.rimShare, 0) / seen.length,
  };
}

/** The disc that is the ruler, and how sure that it is it. */
export interface DiscChoice<Disc> {
  disc: Disc;
  /**
   * 0 to 1: what speaks for the disc as a share of that and what speaks for the best other one, or for one that was not
   * seen. Below `sureEnough` a person should look.
   */
  sureness: number;
}

/** Set by judgement on rendered clips. */
export const sureEnough = 0.6;
/** At most, where no disc of whatever size and angle explains the edges of what was chosen (set by judgement). */
export const surenessUnexplained = 0.5;
/** What speaks for a disc that nobody has seen. */
const unseenRival = 0.2;

interface JudgedDisc<Disc> {
  disc: Disc;
  /** How plainly it shows a rim as rims look, all along, 0 to 1. */
  strength: number;
  seenShare: number;
  rimShare: number;
}

/** A bar's disc is plain once it has travelled so far, with so much of its rim seen and in nearly all pictures. */
const barTravelM = 0.3;
const barRimShare = 0.7;
const barSeenShare = 0.9;
/** A disc by whose size the bar travels farther than bars do is none that is plain. */
const likelyTravel = 0.5;

/**
 * The disc that would be chosen, where it has plainly travelled as a bar does: what is chosen for its size alone may yet prove to be
 * no disc.
 */
export function plainBar<Disc extends FollowedDisc>(discs: readonly Disc[]): Disc | null {
  const chosen = chooseDisc(discs)?.disc;
  if (!chosen) return null;
  const { travelM, rimShare, seenShare } = evidenceOf(chosen);
  const isPlain = travelM >= barTravelM && rimShare >= barRimShare && seenShare > barSeenShare;
  return isPlain && likelihoodOfTravel(travelM) > likelyTravel ? chosen : null;
}

/**
 * The disc that is the ruler: of the discs that travel as a bar does and whose rims were well seen, the largest,
 * since the near end's disc is larger than the far end's; and of discs and rings that move in step the largest,
 * however much plainer a ring on its face or the far end's disc may be. Null where none travels.
 */
export function chooseDisc<Disc extends FollowedDisc>(discs: readonly Disc[]): DiscChoice<Disc> | null {
  const judged = discs
    .map((disc) => ({ disc, ...evidenceOf(disc) }))
    .filter((d) => d.travelM >= leastTravelM && d.seenShare > 0.15)
    .map(({ disc, travelM, seenShare, rimShare }) => ({
      disc,
      seenShare,
      rimShare,
      strength: seenShare * rimShare * likelihoodOfShape(disc.rim) * likelihoodOfTravel(travelM),
    }));
  if (judged.length === 0) return null;
  const strongest = judged.reduce((a, b) => (b.strength > a.strength ? b : a));
  const best = strongest.strength;
  type Judged = JudgedDisc<Disc>;
  const larger = (a: Judged, b: Judged): Judged => (b.disc.rim.aPx > a.disc.rim.aPx ? b : a);
  const plain = judged
    .filter(
      (d) =>
        d.strength >= 0.75 * best &&
        isAlike(d.disc.rim, strongest.disc.rim) &&
        !wouldHide(d.disc, strongest.disc),
    )
    .reduce(larger);
  const chosen = judged
    .filter(
      (d) =>
        ((d.strength >= 0.45 * best && isAlike(d.disc.rim, plain.disc.rim)) || showsAsWellBeside(d, plain)) &&
        movesInStep(d.disc, plain.disc) &&
        !wouldHide(d.disc, plain.disc),
    )
    .reduce(larger, plain);
  return { disc: chosen.disc, sureness: surenessOf(chosen, plain, judged) };
}

/**
 * Whether a disc shows its rim as plainly as another that lies beside it, however flat it looks: of the far end's disc a lifter hides so
 * much that it is taken for a rounder one, and where the camera is far off square that would look the likelier of the two.
 */
const showsAsWellBeside = <Disc extends FollowedDisc>(
  one: JudgedDisc<Disc>,
  other: JudgedDisc<Disc>,
): boolean =>
  one.rimShare >= other.rimShare &&
  one.seenShare >= other.seenShare &&
  apartPx(one.disc, other.disc) > Math.max(one.disc.rim.aPx, other.disc.rim.aPx);

/** What moves in step and is smaller goes with the chosen disc, as a ring on its face or as the bar's far end; all else is a rival. */
function surenessOf<Disc extends FollowedDisc>(
  chosen: JudgedDisc<Disc>,
  plain: JudgedDisc<Disc>,
  judged: readonly JudgedDisc<Disc>[],
): number {
  const rival = judged
    .filter(
      ({ disc }) =>
        disc !== chosen.disc && (disc.rim.aPx > chosen.disc.rim.aPx || !movesInStep(disc, chosen.disc)),
    )
    .reduce((most, { strength }) => Math.max(most, strength), unseenRival);
  // A ring on its face that shows plainer speaks for the disc too.
  const own = Math.max(chosen.strength, plain.strength);
  return own / (own + rival);
}

/** Clips are filmed within about this of square, one sigma (common practice): half a rim and half of something else look flat. */
const usualOffSquareRad = 30 * (Math.PI / 180);

/** How likely a disc is to look as flat as a rim does, 0 to 1. */
const likelihoodOfShape = ({ aPx, bPx }: Rim): number =>
  Math.exp(-0.5 * (Math.acos(Math.min(1, bPx / aPx)) / usualOffSquareRad) ** 2);

/** As far as the deepest squat of a lifter of usual height goes, metres, and how much farther others and smaller discs seem to: log, one sigma. */
const usualTravelM = 0.9;
const travelSigma = 0.2;

/**
 * How likely a bar is to travel so far, 0 to 1: bodies set a limit. A hub, a collar or a ring that is far smaller than the
 * disc shows as plain a rim, and by its size the bar would travel several metres.
 */
export const likelihoodOfTravel = (travelM: number): number =>
  Math.exp(-0.5 * (Math.max(0, Math.log(travelM / usualTravelM)) / travelSigma) ** 2);

/**
 * Whether two discs rise and fall as one: rings of one disc, the two ends of one bar, or a disc and its reflection.
 */
function movesInStep(one: FollowedDisc, other: FollowedDisc): boolean {
  const pairs = seenTogether(one, other).map(([m, o]) => [m.yPx, o.yPx] as const);
  if (pairs.length < leastTogether * Math.min(one.measurements.length, other.measurements.length))
    return false;
  const meanOf = (k: 0 | 1): number => mean(pairs, (p) => p[k])!;
  const [my, mo] = [meanOf(0), meanOf(1)];
  let [yy, yo, oo] = [0, 0, 0];
  for (const [y, o] of pairs) {
    yy += (y - my) ** 2;
    yo += (y - my) * (o - mo);
    oo += (o - mo) ** 2;
  }
  return yo > inStep * Math.sqrt(yy * oo);
}

/** What both lists say of the pictures in which both were seen; both end with the clip's last frame. */
function seenTogether(
  one: FollowedDisc,
  other: FollowedDisc,
): (readonly [DiscMeasurement, DiscMeasurement])[] {
  const n = Math.min(one.measurements.length, other.measurements.length);
  return one.measurements
    .slice(-n)
    .map((m, i) => [m, other.measurements[other.measurements.length - n + i]] as const)
    .filter(([m, o]) => Number.isFinite(m.yPx) && Number.isFinite(o.yPx));
}

/** How far the middles of two discs are apart, in the middle of the pictures that show both. */
const apartPx = (one: FollowedDisc, other: FollowedDisc): number =>
  median(seenTogether(one, other), ([m, o]) => Math.hypot(m.xPx - o.xPx, m.yPx - o.yPx)) ?? 0;

/** Off another's middle by more than this share of its radius is no ring on its face (set by judgement). */
const offMiddle = 0.25;
/** So much more of a rim than is left of it is seen by error, at most: set by judgement. */
const seenByError = 0.2;

/**
 * Whether a larger disc would hide more of a smaller one than is hidden: discs are opaque, and what is larger stands before it. Where
 * it would it is no disc, but some of the smaller one's rim and of something else.
 */
function wouldHide(larger: FollowedDisc, smaller: FollowedDisc): boolean {
  const radius = larger.rim.aPx;
  const r = smaller.rim.aPx;
  const apart = apartPx(larger, smaller);
  if (radius <= r || apart <= offMiddle * radius) return false;
  // Cosine of the direction, seen from the smaller one's middle, in which its rim crosses the larger one's.
  const crossing = (radius ** 2 - apart ** 2 - r ** 2) / (2 * apart * r);
  const leftShare = Math.acos(Math.max(-1, Math.min(1, crossing))) / Math.PI;
  return evidenceOf(smaller).rimShare > leftShare + seenByError;
}

/** Axis ratios of discs on one bar, and of rings on one disc, are within this of each other (measured on rendered clips). */
const ratioApart = 0.12;

/** Whether two rims may be circles in parallel planes: seen from one camera, they are as flat as each other. */
const isAlike = (one: Rim, other: Rim): boolean =>
  Math.abs(one.bPx / one.aPx - other.bPx / other.aPx) < ratioApart;

/** Correlation of heights from which two discs move as one: set by judgement, not measured. */
const inStep = 0.985;
/** Share of the pictures that must show both. */
const leastTogether = 0.5;

/** The same disc with its rim grown by a multiple, where what was followed was a ring on its face. */
export function grownDisc<Disc extends FollowedDisc>(disc: Disc, multiple: number): Disc {
  if (multiple === 1) return disc;
  const grown = (rim: Rim): Rim => ({ ...rim, aPx: rim.aPx * multiple, bPx: rim.bPx * multiple });
  const measurements = disc.measurements.map((m) => ({
    ...m,
    radiusPx: m.radiusPx * multiple,
    rim: m.rim && grown(m.rim),
  }));
  return { ...disc, rim: grown(disc.rim), measurements };
}
