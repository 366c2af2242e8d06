import { motionOf, type BarMotion } from '../../../demo-data/motion/bar-motion.ts';
import { drawSuiteScene } from '../../../demo-data/random-suite.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { suite, suiteClip } from '../../../demo-data/suite.ts';
import { eventsOf } from '../../../demo-data/truth/events.ts';
import { measuresOf } from '../../../demo-data/truth/measures.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import { stream } from '../../../shared-lib/motion/random.ts';
import { followedOf } from '../followed-clips.ts';

/** A trace and the exact motion behind it. */
export interface Case {
  name: string;
  lift: Lift;
  trace: PlaneTrace;
  motion: BarMotion;
  reps: { events: ReturnType<typeof eventsOf>; measures: ReturnType<typeof measuresOf> }[];
}

function caseOf(name: string, spec: SceneSpec, trace: PlaneTrace): Case {
  const motion = motionOf(spec);
  const { lift } = spec;
  const reps = spec.plan.reps.map((_, i) => {
    const events = eventsOf(motion, lift, i);
    return { events, measures: measuresOf(motion, lift, events) };
  });
  return { name, lift, trace, motion, reps };
}

/** Traces followed in the fixed suite's films, with the error of scale taken out. */
export async function* renderedCases(cacheDir: string): AsyncGenerator<Case> {
  for (const { name, spec } of suite) {
    const { clip, truth } = await suiteClip(name, cacheDir);
    const followed = await followedOf(clip, truth).catch(() => null);
    if (followed) yield rescaled(caseOf(name, spec, followed.plane));
  }
}

/** Heights by the least-squares line against the true ones. */
function rescaled(c: Case): Case {
  const { tS, yM, state } = c.trace;
  const seen = [...tS.keys()].filter((i) => state[i] === 0);
  const truth = seen.map((i) => c.motion.at(tS[i]).yM);
  const mean = (values: number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
  const [mt, my] = [mean(truth), mean(seen.map((i) => yM[i]))];
  const sxy = truth.reduce((s, t, k) => s + (t - mt) * (yM[seen[k]] - my), 0);
  const sxx = truth.reduce((s, t) => s + (t - mt) ** 2, 0);
  const slope = sxy / sxx;
  return { ...c, trace: { ...c.trace, yM: yM.map((y) => mt + (y - my) / slope) } };
}

/** Noise of a simulated trace, one sigma, metres, and the time over which the slow part is forgotten. */
export interface Noise {
  whiteM: number;
  slowM: number;
  slowS: number;
}

/** As measured on rendered clips, and four times as much. */
export const usualNoise: Noise = { whiteM: 0.00012, slowM: 0.00018, slowS: 0.3 };
export const muchNoise: Noise = { whiteM: 0.0005, slowM: 0.0007, slowS: 0.3 };

/** Exact courses of the tuning set, read at an even rate with drawn noise; nothing is rendered. */
export function simulatedCases(n: number, fps: number, noise: Noise): Case[] {
  return Array.from({ length: n }, (_, k) => {
    const { name, spec } = drawSuiteScene('tuning', k);
    const motion = motionOf(spec);
    const random = stream(k, 'noise');
    const tS = Float64Array.from({ length: Math.floor(motion.durationS * fps) }, (_, i) => i / fps);
    const kept = Math.exp(-1 / fps / noise.slowS);
    const read = (of: (t: number) => number): Float64Array => {
      let slow = random.normal();
      return tS.map((t) => {
        slow = kept * slow + Math.sqrt(1 - kept * kept) * random.normal();
        return of(t) + noise.slowM * slow + noise.whiteM * random.normal();
      });
    };
    const sigma = tS.map(() => noise.whiteM);
    return caseOf(name, spec, {
      tS,
      xM: read((t) => motion.at(t).xM),
      yM: read((t) => motion.at(t).yM),
      sxM: sigma,
      syM: sigma,
      state: new Uint8Array(tS.length),
    });
  });
}
