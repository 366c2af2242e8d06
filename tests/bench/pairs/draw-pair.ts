import { framed } from '../../../demo-data/random-suite.ts';
import type { SidewaysSpec } from '../../../demo-data/motion/sideways.ts';
import type { Random } from '../../../demo-data/scene/random.ts';
import type { RepPlan, SceneSpec } from '../../../demo-data/scene/spec.ts';
import type { OrdinaryScene } from '../../../demo-data/suite/conditions.ts';
import { ordinaryScene } from '../../../demo-data/suite/ordinary.ts';
import { logUniform, streamOf } from '../../../demo-data/suite/streams.ts';
import type { MeasureName } from '../../../shared-lib/contract/measures.ts';
import { levers, planted } from './plant.ts';

/** How the two clips of a pair were filmed: what decides how much can be told. */
export const filmings = [
  'unmoved camera',
  'cameras apart, plumb line',
  'cameras apart, no plumb line',
] as const;
export type PairFilming = (typeof filmings)[number];

/** Two scenes of the same lift, the same or with one measure planted, and what the user says of their clips. */
export interface PairDraw {
  name: string;
  filming: PairFilming;
  /** The measure that differs by one and a half times what is worth acting on; null where nothing does. */
  changed: MeasureName | null;
  specs: [SceneSpec, SceneSpec];
  /** What the user measured; null where the disc is taken as unmeasured. */
  discMm: [number | null, number | null];
  /** How far each plumb line that the user draws is off, radians; null without one. */
  plumbErrorRad: [number | null, number | null];
}

const firstSeed = 4_000_000;
const deg = Math.PI / 180;
const lifts = ['squat', 'bench', 'deadlift'] as const;

/** Pair `index`, always the same; nuisances drawn at least as wide as the error model takes them to be. */
export function drawRenderedPair(index: number): PairDraw {
  const seed = firstSeed + 10 * index;
  const stream = (name: string): Random => streamOf(seed, name);
  const lift = lifts[index % 3];
  const filming = filmings[Math.floor(index / 3) % 3];
  const isSame = filming === 'unmoved camera';
  const base = { ...ordinaryScene(seedOfLift(seed, lift)), lift };
  const rep = { ...base.reps[0], drive: withDip(base.reps[0].drive) };
  const names = Object.keys(levers[lift]) as MeasureName[];
  const changed = Math.floor(index / 9) % 2 === 0 ? null : names[Math.floor(index / 18) % names.length];
  const reps: [RepPlan, RepPlan] = [rep, rep];
  const discs = [0, 1].map((i) => drawDisc(streamOf(seed, `disc ${isSame ? 0 : i}`)));
  const specOf = (i: 0 | 1, of: RepPlan): SceneSpec => {
    const camera = drawCamera(streamOf(seed, `camera ${isSame ? 0 : i}`), base, isSame);
    return framed(seed + i, {
      ...base,
      discs: base.discs.map((d) => ({ ...d, ...discs[i].disc })),
      camera,
      film: drawFilm(streamOf(seed, `film ${isSame ? 0 : i}`), base),
      plan: {
        ...drawPlan(streamOf(seed, `plan ${i}`), base),
        sideways: drawSideways(streamOf(seed, `side ${i}`)),
      },
      reps: [of],
    });
  };
  if (changed) reps[1] = planted(lift, rep, changed, isSame, (of) => specOf(1, of));
  if (stream('order').uniform(0, 1) < 0.5) reps.reverse();
  const first = specOf(0, reps[0]);
  const second = specOf(1, reps[1]);
  const plumb = (i: number): number | null =>
    filming === 'cameras apart, plumb line' ? 0.25 * deg * streamOf(seed, `plumb ${i}`).gauss() : null;
  return {
    name: `pair-${index}`,
    filming,
    changed,
    // An unmoved camera stands where it stood, whatever the second rep does.
    specs: [first, isSame ? { ...second, camera: first.camera } : second],
    discMm: [discs[0].userMm, discs[1].userMm],
    plumbErrorRad: [plumb(0), plumb(1)],
  };
}

/** The first seed from this one on whose ordinary scene is of the lift. */
function seedOfLift(seed: number, lift: OrdinaryScene['lift']): number {
  for (let s = seed; ; s++)
    if (streamOf(s, 'lift').pick(['squat', 'bench', 'deadlift'] as const) === lift) return s;
}

/** Every drive gets a slowest point between two peaks, so that its velocity can be planted. */
const withDip = (drive: RepPlan['drive']): RepPlan['drive'] => ({
  ...drive,
  slowMps: drive.slowMps ?? 0.6 * drive.firstPeakMps,
});

/** A gym disc, 445 mm within more than its usual 8 mm, with a loose hole; half of them are measured by the user. */
function drawDisc(random: Random): {
  disc: { diameterM: number; runOutM: number; runOutRad: number };
  userMm: number | null;
} {
  const diameterM = 0.445 + random.uniform(-0.01, 0.008);
  const disc = { diameterM, runOutM: random.uniform(0, 0.004), runOutRad: random.uniform(0, 2 * Math.PI) };
  const tapeMm = random.uniform(-2.5, 2.5);
  return { disc, userMm: random.uniform(0, 1) < 0.5 ? 1000 * diameterM + tapeMm : null };
}

/** A bar that is nowhere held to its plane: a little more than the centimetre that it is taken to move out of it. */
const drawSideways = (random: Random): SidewaysSpec => ({
  toBottomM: 0.011 * random.gauss(),
  toLockoutM: 0.011 * random.gauss(),
});

function drawCamera(random: Random, base: OrdinaryScene, still: boolean): OrdinaryScene['camera'] {
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

function drawFilm(random: Random, base: OrdinaryScene): OrdinaryScene['film'] {
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

function drawPlan(random: Random, base: OrdinaryScene): OrdinaryScene['plan'] {
  return {
    ...base.plan,
    leadS: random.uniform(0.2, 0.4),
    settleS: random.uniform(0.6, 0.9),
    holdS: random.uniform(0.6, 1),
    tailS: random.uniform(0.2, 0.3),
    spinRadPerM: random.uniform(-3, 3),
  };
}
