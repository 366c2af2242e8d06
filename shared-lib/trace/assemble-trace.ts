import { stillCamera, type FrameStretch, type Rim, type Trace, type TraceSample } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import type { SettledMotion } from './camera-motion-settle.ts';
import { pictureTimes } from './duplicated-frames.ts';
import type { DiscMeasurement } from './follow-disc.ts';
import { pooledRim } from './pooled-rim.ts';
import { meanRadius, verticalRadius } from '../picture/rim-radii.ts';
import { stretchesWhere } from './stretches.ts';

/**
 * Gaps up to this length are bridged; over longer ones the bar is lost. A passer-by or a spotter takes that long (common
 * practice); what hangs on a gap longer than a quarter of a second is not given (rep/hidden.ts).
 */
export const longestBridgeS = 1;
/** Fewer measured samples than this between two gaps are no re-acquisition but a chance agreement. */
const shortestRun = 3;
/** Largest acceleration of a loaded bar between two measured samples, one sigma, relative to gravity: common practice. */
const bridgeAcceleration = 0.5;
const gravityMps2 = 9.81;

/**
 * The trace of a clip from its stored measurements, one per frame in time order: gaps of up to a second
 * between measured samples are bridged by a cubic through the neighbours' positions and velocities, with an
 * uncertainty that grows toward the middle of the gap; the rest is lost. A frame that repeats the picture before
 * it shows an earlier moment than its own, so it counts as a gap; where it is known when the pictures were taken, the
 * bridge is the place in that picture. The uncertainty of the camera's own
 * motion, where it moved, adds to each sample's.
 */
export function assembleTrace(
  measurements: readonly DiscMeasurement[],
  found: Rim,
  camera?: SettledMotion,
): Trace {
  const { rim, sigma } = pooledRim(measurements, found);
  const verticalPx = verticalRadius(rim);
  const meanPx = meanRadius(rim);
  const samples = measurements.map((m, frame): TraceSample => ({
    frame,
    ptsS: m.tS,
    xPx: m.xPx,
    yPx: m.yPx,
    varXPx2: m.varXPx2 + (camera?.sigmaPx[frame] ?? 0) ** 2,
    varYPx2: m.varYPx2 + (camera?.sigmaPx[frame] ?? 0) ** 2,
    covXYPx2: m.covXYPx2,
    rimRadiusPx: (m.radiusPx / meanPx) * verticalPx,
    confidence: m.confidence,
    state: m.confidence > 0 ? 'seen' : 'lost',
    camera: camera?.motions[frame] ?? stillCamera,
  }));
  dropShortRuns(samples);
  const { repeated, takenS } = pictureTimes(samples);
  for (const i of repeated) Object.assign(samples[i], { ...empty, state: 'lost' });
  bridgeGaps(samples, takenS ?? samples.map((s) => s.ptsS), rim.aPx / usualDiscRadiusM);
  return { samples, rim, rimSigma: sigma, repeated, ...(takenS ? { takenS } : {}) };
}

function dropShortRuns(samples: TraceSample[]): void {
  for (const { from, to } of stretchesOf(samples, 'seen')) {
    if (to - from >= shortestRun || to - from === samples.length) continue;
    for (let i = from; i < to; i++) Object.assign(samples[i], { ...empty, state: 'lost' });
  }
}

/** What a sample says that says nothing. */
export const empty = {
  xPx: NaN,
  yPx: NaN,
  varXPx2: NaN,
  varYPx2: NaN,
  covXYPx2: NaN,
  rimRadiusPx: NaN,
  confidence: 0,
};

/**
 * Bridges lost stretches of up to a second in place; longer ones, and those at the ends, stay lost.
 *
 * @param tS when the picture of each sample was taken
 */
export function bridgeGaps(samples: TraceSample[], tS: readonly number[], pxPerM: number): void {
  for (const { from, to } of stretchesOf(samples, 'lost')) {
    if (from === 0 || to === samples.length) continue;
    const before = samples[from - 1];
    const after = samples[to];
    const spanS = tS[to] - tS[from - 1];
    if (spanS > longestBridgeS) continue;
    const vBefore = velocityAt(samples, tS, from - 1, -1);
    const vAfter = velocityAt(samples, tS, to, 1);
    for (let i = from; i < to; i++) {
      const u = (tS[i] - tS[from - 1]) / spanS;
      // Largest deviation of an accelerated path from the cubic, at u: a t² (1 - u)² / 2.
      const slackPx =
        0.5 * bridgeAcceleration * gravityMps2 * pxPerM * spanS * spanS * u * u * (1 - u) * (1 - u) * 4;
      Object.assign(samples[i], {
        xPx: hermite(u, before.xPx, vBefore.x * spanS, after.xPx, vAfter.x * spanS),
        yPx: hermite(u, before.yPx, vBefore.y * spanS, after.yPx, vAfter.y * spanS),
        varXPx2: (1 - u) * before.varXPx2 + u * after.varXPx2 + slackPx * slackPx,
        varYPx2: (1 - u) * before.varYPx2 + u * after.varYPx2 + slackPx * slackPx,
        covXYPx2: 0,
        state: 'bridged',
      });
    }
  }
}

/** Time on the far side of a gap from which its edge's velocity is taken, and the most samples. */
const velocitySpanS = 0.15;
const velocitySamples = 4;

/** Velocity at the edge of a gap from the nearest measured samples on its far side, pixels per second. */
function velocityAt(
  samples: TraceSample[],
  tS: readonly number[],
  at: number,
  step: 1 | -1,
): { x: number; y: number } {
  const points: number[] = [];
  for (let i = at; i >= 0 && i < samples.length && points.length < velocitySamples; i += step) {
    if (Math.abs(tS[i] - tS[at]) > velocitySpanS) break;
    if (samples[i].state === 'seen') points.push(i);
  }
  if (points.length < 2) return { x: 0, y: 0 };
  const mt = points.reduce((s, i) => s + tS[i], 0) / points.length;
  let stt = 0;
  let stx = 0;
  let sty = 0;
  for (const i of points) {
    stt += (tS[i] - mt) ** 2;
    stx += (tS[i] - mt) * samples[i].xPx;
    sty += (tS[i] - mt) * samples[i].yPx;
  }
  return { x: stx / stt, y: sty / stt };
}

function hermite(u: number, p0: number, m0: number, p1: number, m1: number): number {
  const u2 = u * u;
  const u3 = u2 * u;
  return (2 * u3 - 3 * u2 + 1) * p0 + (u3 - 2 * u2 + u) * m0 + (3 * u2 - 2 * u3) * p1 + (u3 - u2) * m1;
}

const stretchesOf = (samples: readonly TraceSample[], state: TraceSample['state']): FrameStretch[] =>
  stretchesWhere(samples.length, (i) => samples[i].state === state);
