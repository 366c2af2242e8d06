import type { PlaneTrace } from '../contract/motion.ts';
import { type BarModel, barModel, f0Of, jerkOf, slowError } from './bar-model.ts';
import { type AxisSmoothing, cutoffOf, evenSmoothing, type Smoothing } from './smoothing.ts';
import { measuredOf, spansOf } from './spans.ts';
import { gainsOf, smoothValues, spreadOf } from './state-smoother.ts';
import { median } from './statistics.ts';

/** First guess of f0, Hz. */
const guessHz = 5;
/** f0 lies within these, Hz: slower than the least is standing still, faster than the most is every sample for itself. */
const leastF0Hz = 0.5;
const mostF0Hz = 30;
/** Rounds with one strength for all, and rounds with one for each moment. */
const evenRounds = 6;
const localRounds = 12;
/**
 * What lies this near in time decides a moment's strength together, seconds: half-width of an Epanechnikov window. With 0.25
 * and 0.2 s touches and lockouts of 36 films of rendered pairs came nearer by 1 ms at most, and velocities were farther off.
 */
const windowS = 0.33;
/** The even strength counts as much as so many figures of the jerk. */
const evenFreedom = 2;
/** Samples off by more sigmas than this from what all others say count less, in proportion to the square. */
const gate = 4;
/** The noise is not believed to be below this share of what is stated, nor below a hundredth of a millimetre. */
const leastShare = 0.02;
const leastM = 1e-5;

export interface EvidenceOptions {
  /** One sigma of the slow error against the white noise's; as measured where omitted. */
  slowShare?: number;
  /** False: one strength for the whole trace. */
  local?: boolean;
}

/**
 * Decides by evidence how a trace is smoothed: the noise's level, and how abruptly the bar moves from moment to moment,
 * are those under which the trace as measured is most likely (marginal likelihood). The fixed-point updates are those of
 * MacKay 1992 (Neural Computation 4:415-447, from memory): power times what is seen of a disturbance over what the
 * measurements could decide of it. The strength is local, since a bar that stands, moves and is put down is not equally
 * abrupt: one strength for all blunts lift-off, touch and lockout and lets noise through in between.
 */
export function smoothingByEvidence(trace: PlaneTrace, options: EvidenceOptions = {}): Smoothing {
  const { slowShare = slowError.share, local = true } = options;
  const { tS } = trace;
  const spans = spansOf(trace);
  const even = evenSmoothing(trace, guessHz, slowShare);
  if (spans.length === 0) return even;
  const { intervalS } = even;
  const x = decide(trace, trace.xM, even.x, spans, even, local);
  const y = decide(trace, trace.yM, even.y, spans, even, local);
  const moving = y.f0Hz.filter(
    (_, i) => i + 1 < tS.length && Math.abs(trace.yM[i + 1] - trace.yM[i]) > movingMps * (tS[i + 1] - tS[i]),
  );
  const f0Hz = median(moving.length > 0 ? moving : y.f0Hz);
  return { tS, intervalS, slowShare, x, y, cutoffHz: cutoffOf(f0Hz, intervalS, slowShare) };
}

/** Speed from which the bar counts as moving where the strength is summed up for reports, m/s. */
const movingMps = 0.1;

interface Span {
  from: number;
  model: BarModel;
  tS: Float64Array;
  y: Float64Array;
  /** Stated variances relative to the unit; Infinity where nothing was measured. */
  stated: Float64Array;
  variances: Float64Array;
  jerk: Float64Array;
}

function decide(
  trace: PlaneTrace,
  valuesM: Float64Array,
  stated: AxisSmoothing,
  spans: [number, number][],
  { intervalS, slowShare }: Smoothing,
  local: boolean,
): AxisSmoothing {
  const unitM = Math.max(stated.typicalM, leastM);
  const start = jerkOf(guessHz, intervalS);
  const parts = spans.map(([from, to]): Span => {
    const tS = trace.tS.slice(from, to);
    const variances = measuredOf(trace.state.subarray(from, to), stated.noiseM.subarray(from, to), unitM);
    return {
      from,
      model: barModel(tS, slowShare),
      tS,
      y: valuesM.slice(from, to),
      stated: variances,
      variances: variances.slice(),
      jerk: new Float64Array(to - from).fill(start),
    };
  });
  const least = jerkOf(leastF0Hz, intervalS);
  const most = jerkOf(mostF0Hz, intervalS);
  const kept = (jerk: number): number => Math.min(most, Math.max(least, jerk));
  let scaleM = unitM;
  for (let round = 0; round < evenRounds + localRounds; round++) {
    const seen = parts.map((part) => evidenceOf(part, scaleM));
    const noise = sumOf(seen, (e) => e.noise) / sumOf(seen, (e) => e.noiseFreedom);
    const nextM = Math.max(scaleM * Math.sqrt(noise), leastShare * unitM, leastM);
    const change = (nextM / scaleM) ** 2;
    if (round < evenRounds || !local) {
      const rise =
        sumOf(seen, (e) => sum(e.jerkEnergy)) / sumOf(seen, (e) => sum(e.jerkFreedom)) / change || 1;
      parts.forEach((part) => (part.jerk = part.jerk.map((q) => kept(q * rise))));
    } else {
      const logs = parts.flatMap((part) => [...part.jerk].map(Math.log));
      const even = Math.exp(sum(logs) / logs.length);
      parts.forEach((part, k) => (part.jerk = localJerk(part, seen[k], even).map((q) => kept(q / change))));
    }
    scaleM = nextM;
    if (round + 1 >= evenRounds) parts.forEach((part, k) => (part.variances = doubted(part, seen[k])));
  }
  const noiseM = new Float64Array(trace.tS.length).fill(Infinity);
  const f0Hz = new Float64Array(trace.tS.length).fill(leastF0Hz);
  for (const { from, variances, jerk } of parts) {
    variances.forEach((v, i) => (noiseM[from + i] = scaleM * Math.sqrt(v)));
    jerk.forEach((q, i) => (f0Hz[from + i] = f0Of(q, intervalS)));
  }
  return { noiseM, typicalM: scaleM, f0Hz };
}

interface Evidence {
  noise: number;
  noiseFreedom: number;
  jerkEnergy: Float64Array;
  jerkFreedom: Float64Array;
  /** Each sample against what all others say, in sigmas of an undoubted sample. */
  off: Float64Array;
}

function evidenceOf({ model, y, stated, variances, jerk }: Span, scaleM: number): Evidence {
  const gains = gainsOf(model, variances, jerk);
  const { error, jerkEnergy } = smoothValues(
    gains,
    y.map((v) => v / scaleM),
  );
  const { errorVariance, jerkFreedom } = spreadOf(gains);
  let noise = 0;
  let noiseFreedom = 0;
  const off = new Float64Array(y.length);
  variances.forEach((v, i) => {
    if (v === Infinity) return;
    noise += v * error[i] ** 2;
    noiseFreedom += v * errorVariance[i];
    const others = Math.max(0, 1 / errorVariance[i] - v);
    off[i] = error[i] / errorVariance[i] / Math.sqrt(others + stated[i]);
  });
  return { noise, noiseFreedom, jerkEnergy, jerkFreedom, off };
}

/** Each moment's strength from what is seen within the window about it. */
function localJerk({ tS, jerk }: Span, { jerkEnergy, jerkFreedom }: Evidence, even: number): Float64Array {
  let from = 0;
  return jerk.map((q, i) => {
    while (tS[i] - tS[from] > windowS) from++;
    let energy = 0;
    let freedom = 0;
    for (let j = from; j < tS.length && tS[j] - tS[i] < windowS; j++) {
      const weight = 1 - ((tS[j] - tS[i]) / windowS) ** 2;
      energy += weight * jerkEnergy[j];
      freedom += weight * jerkFreedom[j];
    }
    return (q * energy + evenFreedom * even) / (freedom + evenFreedom);
  });
}

/** Variances with outliers raised: those that stand alone; where several in a row are off the bar itself was abrupt. */
function doubted({ stated }: Span, { off }: Evidence): Float64Array {
  const out = stated.slice();
  const isOff = (i: number): boolean => Math.abs(off[i]) > gate;
  for (let i = 0; i < out.length; i++) {
    if (!isOff(i) || isOff(i - 1) || isOff(i + 1)) continue;
    out[i] *= (off[i] / gate) ** 2;
  }
  return out;
}

const sum = (values: ArrayLike<number>): number => {
  let total = 0;
  for (let i = 0; i < values.length; i++) total += values[i];
  return total;
};
const sumOf = <T>(items: readonly T[], of: (item: T) => number): number => sum(items.map(of));
