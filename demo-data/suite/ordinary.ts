import { ordinaryFilm, stillCamera } from '../draw-scene.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { Random } from '../scene/random.ts';
import type { DiscSpec, FilmSpec, LiftPlan, RepPlan, SceneSpec } from '../scene/spec.ts';
import { capturedFps, type OrdinaryScene } from './conditions.ts';
import { logUniform, pickWeighted, streamOf } from './streams.ts';
import { looks } from '../scene/looks.ts';

const deg = Math.PI / 180;

/** A scene as coaches get them, with every ordinary nuisance drawn mildly, each from a stream of its own. */
export function ordinaryScene(seed: number): OrdinaryScene {
  const stream = (name: string): Random => streamOf(seed, name);
  const lift = stream('lift').pick(['squat', 'bench', 'deadlift'] as const);
  const lifter = drawLifter(stream('lifter'));
  const film = drawFilm(stream);
  const reps = drawReps(stream('reps'), lift, lifter.heightM, film);
  return {
    lift,
    facing: stream('facing').pick(['left', 'right'] as const),
    loadKg: Math.round(stream('load').uniform(16, 88)) * 2.5,
    discs: drawDiscs(stream('discs')),
    lifter,
    gym: drawGym(seed, stream('gym')),
    camera: drawCamera(stream, lift),
    film,
    plan: drawPlan(stream('plan'), capturedFps(film) > 60),
    reps,
  };
}

function drawLifter(random: Random): SceneSpec['lifter'] {
  return {
    heightM: random.uniform(1.52, 1.98),
    build: random.uniform(1, 1.35),
    ...random.pick(looks),
    shirt: random.pick(['#2f4a6d', '#7a2f35', '#2d2f33', '#5d6a5a', '#d8d4cc', '#17181a']),
    shorts: random.pick(['#1d1f24', '#2b3550', '#3a3a3c', '#8a8d90']),
    shoes: random.pick(['#e8e6e0', '#2a2a2c', '#3c5d8c']),
  };
}

function drawGym(seed: number, random: Random): SceneSpec['gym'] {
  return {
    seed,
    wall: random.pick(['brick', 'boards', 'paint', 'blocks'] as const),
    wallColour: random.pick(['#9a8f84', '#8d9499', '#a58a72', '#7d8a8a', '#c9c6bf', '#5a5d60']),
    floorColour: random.pick(['#34363a', '#3d3a37', '#2f3338', '#5b564e']),
    rackColour: random.pick(['#1f2226', '#6e2429', '#24405f', '#b3b0a8']),
    padColour: random.pick(['#20242a', '#5b1f24', '#233a58']),
    wallBehindM: random.uniform(1.8, 4.5),
    windows: random.uniform(0, 1) > 0.5,
  };
}

function drawDiscs(random: Random): DiscSpec[] {
  const design = random.pick(['rubber', 'calibrated', 'iron', 'club'] as const);
  const colour = random.pick(['#23262b', '#2c4f8f', '#8f2b2f', '#3d6b4a', '#2a2d31', '#a8862c', '#cfccc4']);
  const thick = design === 'rubber' || design === 'club';
  const diameterM = pickWeighted(random, [
    [0.45, 0.8],
    [random.uniform(0.43, 0.45), 0.15],
    [random.uniform(0.38, 0.43), 0.05],
  ]);
  const disc: DiscSpec = {
    diameterM,
    thicknessM: thick ? random.uniform(0.045, 0.07) : random.uniform(0.022, 0.04),
    design,
    colour,
  };
  const behind = Math.floor(random.uniform(0, 3));
  return Array.from({ length: 1 + behind }, () => disc);
}

function drawFilm(stream: (name: string) => Random): FilmSpec {
  const fps = pickWeighted(stream('rate'), [
    [30, 0.42],
    [60, 0.26],
    [25, 0.08],
    [24, 0.07],
    [50, 0.07],
    [120, 0.07],
    [240, 0.03],
  ]);
  const tagged = fps >= 120 && stream('slow motion').uniform(0, 1) < 0.5;
  const portrait = stream('portrait').uniform(0, 1) < 0.2;
  const look = stream('look');
  return {
    ...ordinaryFilm,
    widthPx: portrait ? 1080 : 1920,
    heightPx: portrait ? 1920 : 1080,
    fps: tagged ? 30 : fps,
    slowMotion: tagged ? fps / 30 : 1,
    rotationDeg: portrait ? stream('turn').pick([0, 90, 270] as const) : 0,
    shutter: fps >= 120 ? stream('shutter').uniform(0.3, 0.8) : stream('shutter').uniform(0.1, 0.6),
    grain: look.uniform(0.8, 3.5),
    blurPx: look.uniform(0.5, 1),
    vignette: look.uniform(0, 0.3),
    exposure: look.uniform(0.85, 1.4),
    crf: Math.round(stream('compression').uniform(18, 30)),
    codec: stream('codec').uniform(0, 1) < 0.2 ? 'libx265' : 'libx264',
    preset: 'veryfast',
    grey: true,
  };
}

/** Half within 8 degrees of square, a third within 8 to 25, the rest to 40, to either side. */
function drawOffSquareRad(random: Random): number {
  const [lo, hi] = pickWeighted<readonly [number, number]>(random, [
    [[0.1, 8], 1 / 2],
    [[8, 25], 1 / 3],
    [[25, 40], 1 / 6],
  ]);
  return random.pick([-1, 1] as const) * random.uniform(lo, hi) * deg;
}

function drawCamera(stream: (name: string) => Random, lift: Lift): OrdinaryScene['camera'] {
  const shake = stream('shake');
  const aim = stream('aim');
  return {
    ...stillCamera,
    distanceM: stream('distance').uniform(2.5, 6),
    heightM: stream('height').uniform(0.5, 1.35) - (lift === 'deadlift' ? 0.1 : 0),
    offSquareRad: drawOffSquareRad(stream('off square')),
    rollRad: 0.8 * deg * stream('roll').gauss(),
    aimRightM: aim.uniform(-0.25, 0.25),
    aimUpM: aim.uniform(-0.15, 0.15),
    // Set from the disc's width in the picture when the scene stands.
    fieldOfViewRad: 60 * deg,
    shakePx: shake.uniform(0, 1) < 0.5 ? 0 : logUniform(shake, 0.5, 6),
  };
}

function drawPlan(random: Random, quick: boolean): Omit<LiftPlan, 'reps'> {
  const k = quick ? 0.5 : 1;
  return {
    leadS: k * random.uniform(0.2, 0.6),
    unrack: false,
    rerack: false,
    settleS: k * random.uniform(0.6, 1),
    holdS: k * random.uniform(0.6, 1),
    tailS: k * random.uniform(0.2, 0.4),
    swayM: random.uniform(0.0005, 0.003),
    spinRadPerM: random.uniform(-2, 2),
  };
}

/** One to three reps; many pictures a second cost much to render, so such films show one. */
function drawReps(random: Random, lift: Lift, heightM: number, film: FilmSpec): RepPlan[] {
  const captured = capturedFps(film);
  const count = pickWeighted(random, [
    [1, 0.78],
    [2, 0.15],
    [3, 0.07],
  ]);
  const first = drawRep(random, lift, heightM, captured > 60);
  const reps = captured > 30 ? 1 : count;
  // Each rep of a set is a little slower than the one before.
  return Array.from({ length: reps }, (_, i) => {
    const slower = 1 - 0.07 * i * random.uniform(0.5, 1.5);
    const { firstPeakMps, slowMps, secondPeakMps } = first.drive;
    return {
      ...first,
      driftBottomM: first.driftBottomM + (i === 0 ? 0 : 0.008 * random.gauss()),
      driftLockoutM: first.driftLockoutM + (i === 0 ? 0 : 0.004 * random.gauss()),
      drive: {
        firstPeakMps: firstPeakMps * slower,
        slowMps: slowMps === null ? null : slowMps * slower,
        secondPeakMps: secondPeakMps * slower,
      },
    };
  });
}

function drawRep(random: Random, lift: Lift, heightM: number, quick: boolean): RepPlan {
  const common = { descentS: random.uniform(0.9, quick ? 1 : 1.9), stopShortM: 0 };
  const speed = random.uniform(0.8, 1.3);
  switch (lift) {
    case 'bench':
      return {
        ...common,
        romM: random.uniform(0.17, 0.25) * heightM,
        pauseS: random.uniform(0.3, quick ? 0.5 : 1.1),
        drive: {
          firstPeakMps: speed * random.uniform(0.38, 0.5),
          slowMps: speed * random.uniform(0.15, 0.3),
          secondPeakMps: speed * random.uniform(0.38, 0.5),
        },
        driftBottomM: random.uniform(0.02, 0.1),
        driftLockoutM: random.uniform(-0.015, 0.015),
        bowM: random.uniform(-0.035, 0.005),
        descentBowM: random.uniform(-0.02, 0.01),
      };
    case 'squat':
      return {
        ...common,
        romM: random.uniform(0.28, 0.37) * heightM,
        pauseS: 0,
        drive: {
          firstPeakMps: speed * random.uniform(0.55, 0.75),
          slowMps: speed * random.uniform(0.25, 0.42),
          secondPeakMps: speed * random.uniform(0.65, 1),
        },
        driftBottomM: random.uniform(-0.03, 0.04),
        driftLockoutM: random.uniform(-0.02, 0.02),
        bowM: random.uniform(-0.02, 0.03),
        descentBowM: random.uniform(-0.015, 0.025),
      };
    case 'deadlift':
      return {
        ...common,
        romM: random.uniform(0.26, 0.33) * heightM,
        pauseS: random.uniform(0.5, quick ? 0.6 : 1),
        drive: {
          firstPeakMps: speed * random.uniform(0.45, 0.65),
          slowMps: random.uniform(0, 1) < 0.4 ? speed * random.uniform(0.2, 0.35) : null,
          secondPeakMps: speed * random.uniform(0.45, 0.65),
        },
        driftBottomM: 0,
        driftLockoutM: random.uniform(-0.06, -0.01),
        bowM: random.uniform(-0.02, 0.02),
        descentBowM: random.uniform(-0.01, 0.01),
      };
  }
}
