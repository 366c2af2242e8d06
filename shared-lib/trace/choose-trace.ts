import { quantile } from 'd3-array';
import type { Rim } from '../contract/trace.ts';
import type { DiscMeasurement } from './follow-disc.ts';

/** One disc followed through a clip: its measurements, one per frame in time order. */
export interface FollowedDisc {
  rim: Rim;
  measurements: DiscMeasurement[];
}

/** A bar that a lifter moves travels at least this far: the least range of a rep. */
const leastTravelM = 0.15;
const discRadiusM = 0.225;

/** How far a disc travelled up and down, metres by its own size, and how well it was seen on the way. */
export function evidenceOf(disc: FollowedDisc): { travelM: number; seenShare: number; confidence: number } {
  const seen = disc.measurements.filter((m) => m.confidence > 0);
  if (seen.length < 5) return { travelM: 0, seenShare: 0, confidence: 0 };
  const heights = seen.map((m) => m.yPx);
  const travelPx = quantile(heights, 0.98)! - quantile(heights, 0.02)!;
  return {
    travelM: (travelPx / disc.rim.aPx) * discRadiusM,
    seenShare: seen.length / disc.measurements.length,
    confidence: seen.reduce((sum, m) => sum + m.confidence, 0) / seen.length,
  };
}

/**
 * The disc that is the ruler: of the discs that travel as a bar does and were well seen, the largest, since
 * the near end's rim is larger than the far end's and than any ring on its own face. Null where none travels.
 */
export function chooseDisc(discs: readonly FollowedDisc[]): FollowedDisc | null {
  const judged = discs
    .map((disc) => ({ disc, ...evidenceOf(disc) }))
    .filter((d) => d.travelM >= leastTravelM && d.seenShare > 0.15);
  if (judged.length === 0) return null;
  const strength = (d: (typeof judged)[number]): number => d.seenShare * d.confidence;
  const best = Math.max(...judged.map(strength));
  const convincing = judged.filter((d) => strength(d) >= 0.6 * best);
  return convincing.reduce((a, b) => (b.disc.rim.aPx > a.disc.rim.aPx ? b : a)).disc;
}
