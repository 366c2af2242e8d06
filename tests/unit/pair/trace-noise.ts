import type { Random } from '../../../shared-lib/motion/random.ts';

/**
 * What a trace's samples are off by, beside what the error sources say. Made in another way than the analysis takes it
 * to be: part goes with the time, part with the place in the picture, so that it stands still with the bar.
 */
export interface TraceNoise {
  /** New in each frame, one sigma, metres. */
  whiteM: number;
  /** Going slowly, one sigma, metres. */
  slowM: number;
  /** What the trace says of itself. */
  statedM: number;
}

/** Size of a pixel at which the figures below were fitted, and the figures. */
export const measuredNoise = {
  /** New in each frame, pixels. */
  whitePx: 0.035,
  /** Slow part, pixels, its median over clips; the standard deviation of its logarithm; and the time after which it has changed. */
  slowPx: 0.09,
  levelSpread: 0.6,
  slowS: 0.2,
  /** Of the slow part's variance, the share that goes with the place in the picture. */
  placeShare: 0.5,
  /** The place's part has changed after this much travel, metres. */
  placeM: 0.04,
};

/** Noise of each frame, for the places where the bar is read. */
export function noiseOf(
  noise: TraceNoise,
  places: readonly { x: number; y: number }[],
  fps: number,
  random: Random,
): { x: number; y: number }[] {
  const axes = [0, 1].map(() => {
    const inTime = autoregressive(places.length, Math.exp(-1 / (measuredNoise.slowS * fps)), random);
    const atPlace = waves(random);
    return places.map(
      ({ y }, i) =>
        noise.whiteM * random.normal() +
        noise.slowM *
          (Math.sqrt(1 - measuredNoise.placeShare) * inTime[i] +
            Math.sqrt(measuredNoise.placeShare) * atPlace(y / measuredNoise.placeM)),
    );
  });
  return places.map((_, i) => ({ x: axes[0][i], y: axes[1][i] }));
}

/** First-order autoregressive noise of unit variance. */
function autoregressive(n: number, rho: number, random: Random): Float64Array {
  const out = new Float64Array(n);
  let value = random.normal();
  for (let i = 0; i < n; i++) {
    out[i] = value;
    value = rho * value + Math.sqrt(1 - rho * rho) * random.normal();
  }
  return out;
}

/** A smooth random function of unit variance whose correlation falls to 0.6 over a distance of one. */
function waves(random: Random): (at: number) => number {
  const count = 12;
  const parts = Array.from({ length: count }, () => ({
    rate: random.normal(),
    phase: 2 * Math.PI * random.uniform(),
  }));
  return (at) =>
    parts.reduce((sum, { rate, phase }) => sum + Math.cos(rate * at + phase), 0) * Math.sqrt(2 / count);
}
