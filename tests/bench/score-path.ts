import { mean, median } from 'd3-array';
import type { Truth } from '../../demo-data/truth/schema.ts';
import type { RepsOfClip } from '../../electron/desk/clip-reps.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import { hiddenSpans, isGuess } from '../../shared-lib/rep/hidden.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';
import { atTime, valueAt } from '../../shared-lib/rep/sampling.ts';

/** A followed point this many diameters off in the median, or a rim this much too large or small, is not the ruler. */
const wrongDiameters = 0.25;
const wrongScale = 0.08;
/** A seen sample further off than this is wrong and confident. */
const seenWrongM = 0.01;

export interface TraceScore {
  /** The followed point is not the ruler disc. */
  wrong: boolean;
  frames: number;
  seen: number;
  bridged: number;
  lost: number;
  /** Samples called `seen` that lie more than 10 mm off, after the trace's median offset is removed. */
  seenWrong: number;
  /** RMS of the seen samples' errors over their stated uncertainties, constant offset removed; 1 is right. */
  normalised: number;
}

/** The trace in the picture against where the disc's centre really appears. */
export function scoreTrace({ samples, rim }: Trace, truth: Truth): TraceScore {
  const mPerPx = truth.disc.metres_per_px;
  const diameterPx = truth.disc.diameter_m / mPerPx;
  const off = samples.flatMap((s, i) => {
    const real = truth.frames.at(i);
    if (s.state === 'lost' || !real) return [];
    return [{ s, x: s.xPx - real.px, y: s.yPx - real.py }];
  });
  const seen = off.filter((o) => o.s.state === 'seen');
  const farPx = median(off, (o) => Math.hypot(o.x, o.y)) ?? NaN;
  const sizes = rim.aPx / (median(truth.frames, (f) => f.rim.a_px) ?? NaN);
  const offset = { x: median(seen, (o) => o.x) ?? NaN, y: median(seen, (o) => o.y) ?? NaN };
  const distances = seen.map((o) => mPerPx * Math.hypot(o.x - offset.x, o.y - offset.y));
  const count = (state: string): number => samples.filter((s) => s.state === state).length;
  return {
    wrong: farPx > wrongDiameters * diameterPx || Math.abs(sizes - 1) > wrongScale,
    frames: samples.length,
    seen: seen.length,
    bridged: count('bridged'),
    lost: count('lost'),
    seenWrong: distances.filter((d) => d > seenWrongM).length,
    normalised: normalisedRms(seen),
  };
}

/** Root of the mean square of errors in units of their own covariance, each axis counted once. */
function normalisedRms(seen: readonly { s: Trace['samples'][number]; x: number; y: number }[]): number {
  const mx = mean(seen, (o) => o.x) ?? NaN;
  const my = mean(seen, (o) => o.y) ?? NaN;
  const squared = mean(seen, ({ s, x, y }) => {
    const [dx, dy] = [x - mx, y - my];
    const det = s.varXPx2 * s.varYPx2 - s.covXYPx2 ** 2;
    return (s.varYPx2 * dx * dx - 2 * s.covXYPx2 * dx * dy + s.varXPx2 * dy * dy) / det;
  });
  return Math.sqrt((squared ?? NaN) / 2);
}

export interface PathScore {
  /** The smoothed path over all frames but those in stretches that were not seen, one constant offset removed: millimetres. */
  rmsMm: number;
  p95Mm: number;
  worstMm: number;
  /** The same from the first rep's own origin, as users see it; NaN where the first rep was missed. */
  fromStartMm: number;
  /**
   * What is left of the RMS where size and up are fitted to the truth: what following alone brings. The rest of it is the
   * ruler's and the plumb line's.
   */
  shapeMm: number;
  /** Lengths on the measured path over true ones, by the same fit. */
  sizeRatio: number;
}

/** The smoothed path in the bar plane against the bar's true path. */
export function scorePath({ followed, smoothed, reps, measured }: RepsOfClip, truth: Truth): PathScore {
  const { frame: states, motion } = smoothed;
  const { takenS } = followed.trace;
  const spans = hiddenSpans(followed.plane);
  const both = truth.frames.flatMap((real, i) => {
    // Truth is at the frame's stamp; where the picture was taken earlier, the path at the stamp lies between frames.
    const at = atTime(motion, real.t_s);
    const x = 1000 * (takenS ? valueAt(motion.xM, at) : states.xM[i]);
    const y = 1000 * (takenS ? valueAt(motion.yM, at) : states.yM[i]);
    const here = { x: 1000 * real.x_m, y: 1000 * real.y_m };
    return Number.isFinite(x) && Number.isFinite(y) && !isGuess(spans, real.t_s)
      ? [{ got: { x, y }, real: here }]
      : [];
  });
  const off = both.map(({ got, real }) => ({ x: got.x - real.x, y: got.y - real.y }));
  const from = (x0: number, y0: number): number[] =>
    off.map(({ x, y }) => Math.hypot(x - x0, y - y0)).sort((a, b) => a - b);
  const distances = from(mean(off, (o) => o.x) ?? NaN, mean(off, (o) => o.y) ?? NaN);
  const rms = (d: readonly number[]): number => Math.sqrt(mean(d, (v) => v * v) ?? NaN);
  const firstFound = Math.abs(reps[0].events.startS - truth.reps[0].start_s) < 0.3;
  const frame = repFrame(smoothed.motion, reps[0].events, measured.lift, smoothed.restNoise);
  return {
    rmsMm: rms(distances),
    p95Mm: distances[Math.ceil(0.95 * distances.length) - 1],
    worstMm: distances[distances.length - 1],
    fromStartMm: firstFound ? rms(from(1000 * frame.originXM, 1000 * frame.originYM)) : NaN,
    ...fitOfSimilarity(both),
  };
}

interface Point {
  x: number;
  y: number;
}

/** The best shift, turn and growth of the measured points: root of the mean square that is left, and how large the points were before. */
function fitOfSimilarity(
  both: readonly { got: Point; real: Point }[],
): Pick<PathScore, 'shapeMm' | 'sizeRatio'> {
  const centre = (of: (b: (typeof both)[number]) => Point): Point => ({
    x: mean(both, (b) => of(b).x) ?? NaN,
    y: mean(both, (b) => of(b).y) ?? NaN,
  });
  const [g, r] = [centre((b) => b.got), centre((b) => b.real)];
  let [size, along, across, square] = [0, 0, 0, 0];
  for (const { got, real } of both) {
    const [gx, gy, rx, ry] = [got.x - g.x, got.y - g.y, real.x - r.x, real.y - r.y];
    size += gx * gx + gy * gy;
    along += gx * rx + gy * ry;
    across += gx * ry - gy * rx;
    square += rx * rx + ry * ry;
  }
  const shared = along * along + across * across;
  return {
    shapeMm: Math.sqrt(Math.max(0, square - shared / size) / both.length),
    sizeRatio: size / Math.sqrt(shared),
  };
}
