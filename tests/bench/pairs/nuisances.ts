import type { SidewaysSpec } from '../../../demo-data/motion/sideways.ts';
import type { Random } from '../../../demo-data/scene/random.ts';
import type { RepPlan } from '../../../demo-data/scene/spec.ts';
import type { OrdinaryScene } from '../../../demo-data/suite/conditions.ts';
import { ordinaryScene } from '../../../demo-data/suite/ordinary.ts';
import { logUniform, streamOf } from '../../../demo-data/suite/streams.ts';
import type { UprightEdge } from '../../../shared-lib/contract/trace.ts';

/** What films of known reps differ in, drawn at least as wide as the error model takes it to be. */

const deg = Math.PI / 180;

/** The scene of the first seed from this one on that is of the lift. */
export function sceneOfLift(seed: number, lift: OrdinaryScene['lift']): OrdinaryScene {
  for (let s = seed; ; s++)
    if (streamOf(s, 'lift').pick(['squat', 'bench', 'deadlift'] as const) === lift)
      return { ...ordinaryScene(s), lift };
}

/** Every drive gets a slowest point between two peaks, so that its velocity can be planted. */
export const withDip = (drive: RepPlan['drive']): RepPlan['drive'] => ({
  ...drive,
  slowMps: drive.slowMps ?? 0.6 * drive.firstPeakMps,
});

/** A gym disc, 445 mm within more than its usual 8 mm, with a loose hole; half of them are measured by the user. */
export function drawDisc(random: Random): {
  disc: { diameterM: number; runOutM: number; runOutRad: number };
  userMm: number | null;
} {
  const diameterM = 0.445 + random.uniform(-0.01, 0.008);
  const disc = { diameterM, runOutM: random.uniform(0, 0.004), runOutRad: random.uniform(0, 2 * Math.PI) };
  const tapeMm = random.uniform(-2.5, 2.5);
  return { disc, userMm: random.uniform(0, 1) < 0.5 ? 1000 * diameterM + tapeMm : null };
}

/** A bar that is nowhere held to its plane: a little more than the centimetre that it is taken to move out of it. */
export const drawSideways = (random: Random): SidewaysSpec => ({
  toBottomM: 0.011 * random.gauss(),
  toLockoutM: 0.011 * random.gauss(),
});

export function drawCamera(random: Random, base: OrdinaryScene, still: boolean): OrdinaryScene['camera'] {
  const shakes = random.uniform(0, 1) < 0.5;
  const shakePx = logUniform(random, 0.4, 3);
  return {
    ...base.camera,
    distanceM: random.uniform(2.3, 6.5),
    heightM: random.uniform(0.4, 1.5),
    offSquareRad: random.uniform(-25, 25) * deg,
    rollRad: deg * random.gauss(),
    lensK1: random.uniform(-0.03, 0.03),
    shakePx: still || !shakes ? 0 : shakePx,
  };
}

export function drawFilm(random: Random, base: OrdinaryScene): OrdinaryScene['film'] {
  const fps = random.pick([30, 30, 60] as const);
  return {
    ...base.film,
    widthPx: 960,
    heightPx: 540,
    rotationDeg: 0,
    fps,
    slowMotion: 1,
    readOutS: random.uniform(0.004, Math.min(0.032, 1 / fps)),
    shutter: random.uniform(0.1, 0.6),
    grain: random.uniform(0.8, 3.5),
    crf: Math.round(random.uniform(18, 28)),
    codec: 'libx264',
    grey: true,
  };
}

export function drawPlan(random: Random, base: OrdinaryScene): OrdinaryScene['plan'] {
  return {
    ...base.plan,
    leadS: random.uniform(0.2, 0.4),
    settleS: random.uniform(0.6, 0.9),
    holdS: random.uniform(0.6, 1),
    tailS: random.uniform(0.2, 0.3),
    spinRadPerM: random.uniform(-3, 3),
  };
}

/** By how much a plumb line is off that a user draws along an upright, radians. */
export const drawPlumbError = (random: Random): number => 0.25 * deg * random.gauss();

/** How far uprights of a gym lean, all together and each by itself, degrees (common practice): rendered ones stand upright. */
const leanDeg = { together: 0.15, own: 0.35 };
/** Edges nearer together than this share of the picture's width belong to one upright. */
const apartShare = 0.025;

/** Edges of uprights as a gym would show them whose uprights lean. */
export function leaning(edges: readonly UprightEdge[], widthPx: number, random: Random): UprightEdge[] {
  const together = leanDeg.together * deg * random.gauss();
  let lastPx = -Infinity;
  let own = 0;
  return [...edges]
    .sort((a, b) => a.xPx - b.xPx)
    .map((edge) => {
      if (edge.xPx - lastPx > apartShare * widthPx) own = leanDeg.own * deg * random.gauss();
      lastPx = edge.xPx;
      return { ...edge, leanRad: edge.leanRad + together + own };
    });
}
