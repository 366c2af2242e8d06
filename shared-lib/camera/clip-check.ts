import type { Calibration, ClipCheck, MediaInfo, Timing, Verdict } from '../contract/clip.ts';
import type { PlaneTrace } from '../contract/motion.ts';
import type { RepWindow } from '../contract/rep.ts';
import type { Trace } from '../contract/trace.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { clipLimits, judge, type ClipFigures, type MeasureKind, type ShownFigures } from './clip-limits.ts';
import { texts } from '../texts/texts.ts';
import { problemsOf } from './clip-problems.ts';

export interface ClipCheckInput {
  trace: Trace;
  plane: PlaneTrace;
  calibration: Calibration;
  timing: Timing;
  media: Pick<MediaInfo, 'widthPx' | 'heightPx'>;
  /** The reps found; without any the whole clip counts. */
  reps: readonly RepWindow[];
  /** The bar's greatest speed, m/s; null when unknown. */
  peakSpeedMps: number | null;
  /** How long the shutter was open, seconds of real time; null when unknown. */
  exposureS: number | null;
  /** What is asked of a bar that moves as no lifter's does; null where it moves as bodies allow. */
  improbable?: ClipCheck['improbable'] | null;
}

const deg = 180 / Math.PI;
/** Half-width of a 95 % interval in sigmas. */
const k95 = 1.96;

/** Root mean square distance of the camera's pointing from its own mean, at the picture's centre, px. */
function shakeOf(trace: Trace, media: ClipCheckInput['media']): number {
  const x0 = media.widthPx / 2;
  const y0 = media.heightPx / 2;
  const seen = trace.samples.map((s) => applySimilarity(s.camera, x0, y0));
  const n = Math.max(1, seen.length);
  const mx = seen.reduce((s, p) => s + p[0], 0) / n;
  const my = seen.reduce((s, p) => s + p[1], 0) / n;
  return Math.sqrt(seen.reduce((s, p) => s + (p[0] - mx) ** 2 + (p[1] - my) ** 2, 0) / n);
}

/** Share of the reps' samples, or of all where there is no rep, that were not seen; a picture shown again hides nothing. */
function hiddenShareOf(trace: Trace, plane: PlaneTrace, reps: readonly RepWindow[]): number {
  const inRep = (t: number): boolean => reps.length === 0 || reps.some((r) => t >= r.fromS && t <= r.toS);
  const repeated = new Set(trace.repeated);
  let all = 0;
  let hidden = 0;
  plane.state.forEach((state, i) => {
    if (repeated.has(i) || !inRep(plane.tS[i])) return;
    all++;
    if (state !== 0) hidden++;
  });
  return all > 0 ? hidden / all : 1;
}

function figuresOf(input: ClipCheckInput): { shown: ShownFigures; figures: ClipFigures } {
  const { trace, plane, calibration: c, timing, peakSpeedMps, exposureS } = input;
  const duplicatedShare = timing.duplicatedFrames / Math.max(1, timing.decodedFrames);
  // As many different pictures as real time holds: repeated frames bring none.
  const fps =
    timing.medianIntervalS > 0 ? (c.slowMotion * (1 - duplicatedShare)) / timing.medianIntervalS : 0;
  const discDiameterPx = c.discM / c.metresPerPx;
  const shakePx = shakeOf(trace, input.media);
  const blurPx =
    peakSpeedMps === null || exposureS === null ? null : (peakSpeedMps * exposureS) / c.metresPerPx;
  const shown = {
    offSquareDeg: c.offSquareRad * deg,
    offSquareU95Deg: k95 * c.offSquareSigmaRad * deg,
    rollDeg: c.rollRad * deg,
    rollU95Deg: k95 * c.rollSigmaRad * deg,
    shakePx,
    fps,
    unevenness: timing.unevenness,
    duplicatedFrames: timing.duplicatedFrames,
    blurPx,
    discDiameterPx,
    hiddenShare: hiddenShareOf(trace, plane, input.reps),
  };
  const shakeShare = shakePx / discDiameterPx;
  const blurShare = blurPx === null ? null : blurPx / discDiameterPx;
  return { shown, figures: { ...shown, duplicatedShare, shakeShare, blurShare } };
}

const order: readonly Verdict[] = ['good', 'poor', 'cannot carry'];
const worst = (verdicts: readonly Verdict[]): Verdict =>
  verdicts.reduce((a, b) => (order.indexOf(b) > order.indexOf(a) ? b : a), 'good');

/** Figures, a verdict for each kind of measure, and what would help, before anything is measured. */
export function checkClip(input: ClipCheckInput): ClipCheck {
  const { shown, figures } = figuresOf(input);
  const { improbable } = input;
  // Lengths and what is made of them fall with the ruler, durations do not.
  const verdictOf = (kind: MeasureKind): Verdict =>
    improbable && kind !== 'tempo'
      ? 'cannot carry'
      : worst(clipLimits.map((limit) => judge(limit, kind, figures)));
  const verdicts = {
    drift: verdictOf('drift'),
    vertical: verdictOf('vertical'),
    velocity: verdictOf('velocity'),
    tempo: verdictOf('tempo'),
  };
  const advice = problemsOf(figures).map(({ problem, better }) => texts.clip.both(problem, better));
  if (advice.length > 0) advice.push(...texts.clip.safely);
  if (input.timing.partial) advice.push(texts.clip.cutShort);
  if (improbable) advice.unshift(improbable.said, improbable.advice);
  return { ...shown, verdicts, ...(improbable ? { improbable } : {}), advice };
}
