import type { FixedPoint } from '../contract/review.ts';
import type { Rim, Trace, TraceSample } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import { meanRadius, verticalRadius } from '../picture/rim-radii.ts';
import { bridgeGaps, empty } from './assemble-trace.ts';
import type { DiscMeasurement } from './follow-disc.ts';

/** A hand sets a disc's centre this surely, as a share of its radius and in pixels: one sigma, common practice. */
const handShare = 0.014;
const leastHandPx = 1;
/** A picture that puts the disc farther from the hand's point than this many sigmas shows another one. */
const agreeSigmas = 3;
/** Where the pictures do not show the disc at the hand's point, the way there is bridged from this far, seconds. */
const detourS = 0.25;
/** So many pictures in a row in which old and new trace agree: from there on the old one stands. */
const rejoinedAfter = 4;
const rejoinPx = 0.5;
/** A disc that the pictures do not show for this long is not looked for any further, seconds. */
export const givenUpAfterS = 1;

export const handSigmaPx = ({ aPx }: Pick<Rim, 'aPx'>): number => Math.max(leastHandPx, handShare * aPx);

/** Whether the picture at a fixed point shows the disc where the hand put it. */
export const agreesWithHand = (point: FixedPoint, found: DiscMeasurement, rim: Rim): boolean =>
  found.confidence > 0 &&
  Math.hypot(found.xPx - point.xPx, found.yPx - point.yPx) <= agreeSigmas * handSigmaPx(rim);

/** What the pictures say on one side of a fixed point, nearest first; null where its own picture shows nothing there. */
export interface FollowedAgain {
  point: FixedPoint;
  step: 1 | -1;
  places: readonly DiscMeasurement[] | null;
}

/** The last frame, on one side, that belongs to a fixed point: half the way to the next one, or the clip's end. */
export function reachOf(
  points: readonly FixedPoint[],
  point: FixedPoint,
  step: 1 | -1,
  frames: number,
): number {
  const others = points.map(({ frame }) => frame).filter((frame) => (frame - point.frame) * step > 0);
  if (others.length === 0) return step > 0 ? frames - 1 : 0;
  const next = step > 0 ? Math.min(...others) : Math.max(...others);
  return step > 0 ? Math.floor((point.frame + next) / 2) : Math.floor((point.frame + next) / 2) + 1;
}

/**
 * Whether the newest places agree with the trace as it was, so that following on would only find the same again.
 *
 * @returns how many places are new; null while old and new still differ
 */
export function rejoinedAt(
  trace: Trace,
  point: FixedPoint,
  step: 1 | -1,
  places: readonly DiscMeasurement[],
): number | null {
  const from = places.length - rejoinedAfter;
  if (from < 0) return null;
  for (let k = from; k < places.length; k++) {
    const [old, now] = [trace.samples[point.frame + step * (k + 1)], places[k]];
    if (old.state !== 'seen' || !(now.confidence > 0)) return null;
    const sigmaPx = Math.sqrt(old.varXPx2 + old.varYPx2 + now.varXPx2 + now.varYPx2);
    if (Math.hypot(old.xPx - now.xPx, old.yPx - now.yPx) > rejoinPx + 2 * sigmaPx) return null;
  }
  return from;
}

/**
 * A trace with a hand's fixed points in it: each stands where it was put with a hand's uncertainty, the stretches that
 * were followed again from it replace what was there, and every other sample stays as it was.
 */
export function correctTrace(
  trace: Trace,
  points: readonly FixedPoint[],
  again: readonly FollowedAgain[],
): Trace {
  const samples = trace.samples.map((sample) => ({ ...sample }));
  const tS = trace.takenS ?? samples.map(({ ptsS }) => ptsS);
  const repeated = new Set(trace.repeated);
  const put = (i: number, place: DiscMeasurement | null): void => {
    const isMeasured = place !== null && place.confidence > 0 && !repeated.has(i);
    Object.assign(samples[i], isMeasured ? measured(place, trace) : { ...empty, state: 'lost' });
  };
  for (const { point, step, places } of again) {
    if (places) places.forEach((place, k) => put(point.frame + step * (k + 1), place));
    else {
      const last = reachOf(points, point, step, samples.length);
      for (let i = point.frame + step; (last - i) * step >= 0; i += step) {
        if (Math.abs(tS[i] - tS[point.frame]) > detourS) break;
        put(i, null);
      }
    }
  }
  const sigmaPx = handSigmaPx(trace.rim);
  for (const { frame, xPx, yPx } of points) {
    if (frame >= samples.length) continue;
    Object.assign(samples[frame], {
      ...empty,
      xPx,
      yPx,
      varXPx2: sigmaPx ** 2,
      varYPx2: sigmaPx ** 2,
      covXYPx2: 0,
      confidence: 1,
      state: 'seen',
    });
  }
  bridgeGaps(samples, tS, trace.rim.aPx / usualDiscRadiusM);
  return { ...trace, samples };
}

/** The trace with a hand's points in it where the pictures were not followed again: the way to each is bridged. */
export function pinned(trace: Trace, points: readonly FixedPoint[]): Trace {
  if (points.length === 0) return trace;
  const sides = [-1, 1] as const;
  return correctTrace(
    trace,
    points,
    points.flatMap((point) => sides.map((step) => ({ point, step, places: null }))),
  );
}

function measured(place: DiscMeasurement, { rim }: Trace): Partial<TraceSample> {
  const { xPx, yPx, varXPx2, varYPx2, covXYPx2, confidence, radiusPx } = place;
  const rimRadiusPx = (radiusPx / meanRadius(rim)) * verticalRadius(rim);
  return { xPx, yPx, varXPx2, varYPx2, covXYPx2, confidence, rimRadiusPx, state: 'seen' };
}
