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

/** What followed traces of rendered pairs are off by (`npm run bench:pairs`), set so that as much is seen of it after smoothing. */
export const measuredNoise = {
  /** New in each frame, metres: its median over clips and the standard deviation of its logarithm. */
  whiteM: 0.00008,
  whiteSpread: 0.7,
  /** Slow part in squares, by the white one, metres; the standard deviation of its logarithm; and the time after which it has changed. */
  slowPerWhiteM: 0.0027,
  slowSpread: 0.45,
  slowS: 0.2,
  /**
   * While the bar stands it changes this many times as slowly, sideways and in height: set-up sways of rendered reps are off by
   * 0.5 mm, sags by 0.3 mm. From about this speed on, m/s, it changes as it does in motion.
   */
  restTimes: { x: 7, y: 15 },
  movingMps: 0.08,
  /** Of the slow part's variance, the share that goes with the place in the picture. */
  placeShare: 0.35,
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
  const { slowS, restTimes, movingMps } = measuredNoise;
  const kept = (times: number): number[] =>
    places.map(({ y }, i) => {
      const speed = fps * Math.abs(y - places[Math.max(0, i - 1)].y);
      const moving = speed / Math.hypot(speed, movingMps);
      return Math.exp(-(moving + (1 - moving) / times) / (slowS * fps));
    });
  const axes = [restTimes.x, restTimes.y].map((times) => {
    const inTime = autoregressive(kept(times), random);
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

/** First-order autoregressive noise of unit variance; `kept` is what is left of each value in the next. */
function autoregressive(kept: readonly number[], random: Random): Float64Array {
  const out = new Float64Array(kept.length);
  let value = random.normal();
  kept.forEach((rho, i) => {
    value = rho * value + Math.sqrt(1 - rho * rho) * random.normal();
    out[i] = value;
  });
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
