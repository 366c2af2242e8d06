import type { TracedPoints } from '../contract/desk.ts';
import type { DiscMeasurement } from './follow-disc.ts';

/** Enough points to draw a way, and few enough to send often. */
const mostPoints = 400;

/** What was followed so far, thinned out for drawing. */
export function sketchOf(measurements: readonly DiscMeasurement[]): TracedPoints {
  const every = Math.ceil(measurements.length / mostPoints);
  const kept = measurements.filter(
    ({ confidence }, i) => confidence > 0 && (i % every === 0 || i === measurements.length - 1),
  );
  const tenths = (value: number): number => Math.round(10 * value) / 10;
  return {
    ptsS: kept.map(({ tS }) => tS),
    xPx: kept.map(({ xPx }) => tenths(xPx)),
    yPx: kept.map(({ yPx }) => tenths(yPx)),
  };
}
