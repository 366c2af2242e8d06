import type { Lift } from '../shared-lib/contract/lift.ts';
import { startHeightM } from './scene/build.ts';
import { layoutOf, rulerCentre } from './scene/layout.ts';
import { randomOf, type Random } from './scene/random.ts';
import type { ExtraSpec } from './scene/extra-spec.ts';
import type { CameraSpec, FilmSpec, LiftPlan, RepPlan, SceneSpec } from './scene/spec.ts';
import { looks } from './scene/looks.ts';

/** Parts of a scene to keep fixed while the rest is drawn; each part may be given in part. */
export interface SceneOverrides {
  lift?: Lift;
  facing?: SceneSpec['facing'];
  loadKg?: number;
  discs?: SceneSpec['discs'];
  lifter?: Partial<SceneSpec['lifter']>;
  gym?: Partial<SceneSpec['gym']>;
  camera?: Partial<CameraPlacement>;
  film?: Partial<FilmSpec>;
  plan?: Partial<Omit<LiftPlan, 'reps'>>;
  /** One entry a rep; each is laid over the lift's ordinary rep. */
  reps?: Partial<RepPlan>[];
  /** What else is in the scene, chosen when the rest is known. */
  extras?: ((spec: SceneSpec) => ExtraSpec[])[];
  body?: SceneSpec['body'];
}

/** Where the camera stands in a photographer's terms. */
export interface CameraPlacement {
  /** From the disc at the middle of its way, along the floor. */
  distanceM: number;
  heightM: number;
  /** Positive with the camera to the right of square. */
  offSquareRad: number;
  rollRad: number;
  /** Point aimed at, from the disc's middle height: right and up in the picture. */
  aimRightM: number;
  aimUpM: number;
  /** Field of view along the picture's longer side. */
  fieldOfViewRad: number;
  shakePx: number;
  sweepPanRad: number;
  sweepTiltRad: number;
  zoomDrift: number;
  lensK1: number;
  lensK2: number;
}

export function placeCamera(spec: SceneSpec, place: CameraPlacement): CameraSpec {
  const layout = layoutOf(spec);
  const rom = spec.plan.reps[0].romM;
  const startY = startHeightM(spec.lift, spec.lifter);
  const middle = rulerCentre(layout, { xM: 0, yM: startY + (spec.lift === 'deadlift' ? rom : -rom) / 2 });
  const at = {
    xM: middle[0] + place.distanceM * Math.sin(place.offSquareRad),
    yM: place.heightM,
    zM: place.distanceM * Math.cos(place.offSquareRad),
  };
  const aim = [middle[0] + place.aimRightM, middle[1] + place.aimUpM] as const;
  const focalPx = Math.max(spec.film.widthPx, spec.film.heightPx) / 2 / Math.tan(place.fieldOfViewRad / 2);
  const { rollRad, shakePx, sweepPanRad, sweepTiltRad, zoomDrift, lensK1, lensK2 } = place;
  const rest = { rollRad, focalPx, shakePx, sweepPanRad, sweepTiltRad, zoomDrift, lensK1, lensK2 };
  // With the camera square the pan stays square too, and the aim only chooses the camera's own place.
  if (place.offSquareRad === 0) return { ...at, xM: aim[0], panRad: 0, tiltRad: 0, ...rest };
  const across = Math.hypot(aim[0] - at.xM, at.zM);
  return {
    ...at,
    panRad: Math.atan2(aim[0] - at.xM, at.zM),
    tiltRad: Math.atan2(aim[1] - at.yM, across),
    ...rest,
  };
}

/** A camera on a tripod with a straight lens. */
export const stillCamera = {
  shakePx: 0,
  sweepPanRad: 0,
  sweepTiltRad: 0,
  zoomDrift: 0,
  lensK1: 0,
  lensK2: 0,
};

export const ordinaryFilm: FilmSpec = {
  widthPx: 1280,
  heightPx: 720,
  fps: 30,
  jitter: 0,
  dropShare: 0,
  repeatShare: 0,
  convertedFromFps: null,
  shutter: 0.3,
  readOutS: 0,
  subFrames: 40,
  grain: 2,
  blurPx: 0.6,
  vignette: 0.22,
  exposure: 1.25,
  flicker: 0,
  flickerHz: 100,
  exposureRamp: null,
  grey: false,
  codec: 'libx264',
  crf: 23,
  preset: 'veryfast',
  rotationDeg: 0,
  slowMotion: 1,
};

function ordinaryRep(lift: Lift, random: Random, heightM: number): RepPlan {
  const common = { bowM: 0, descentBowM: 0, stopShortM: 0 };
  switch (lift) {
    case 'bench':
      return {
        ...common,
        romM: 0.235 * heightM,
        descentS: random.uniform(1.1, 1.8),
        pauseS: random.uniform(0.5, 1.1),
        drive: {
          firstPeakMps: random.uniform(0.4, 0.55),
          slowMps: random.uniform(0.2, 0.32),
          secondPeakMps: random.uniform(0.38, 0.5),
        },
        driftBottomM: random.uniform(0.05, 0.09),
        driftLockoutM: random.uniform(-0.01, 0.01),
        bowM: random.uniform(-0.025, -0.005),
        descentBowM: random.uniform(-0.015, 0.005),
      };
    case 'squat':
      return {
        ...common,
        romM: 0.345 * heightM,
        descentS: random.uniform(1.2, 1.8),
        pauseS: 0,
        drive: {
          firstPeakMps: random.uniform(0.6, 0.75),
          slowMps: random.uniform(0.3, 0.42),
          secondPeakMps: random.uniform(0.7, 0.95),
        },
        driftBottomM: random.uniform(-0.02, 0.03),
        driftLockoutM: random.uniform(-0.012, 0.012),
        bowM: random.uniform(-0.01, 0.025),
        descentBowM: random.uniform(-0.01, 0.02),
      };
    case 'deadlift':
      return {
        ...common,
        romM: 0.3 * heightM,
        descentS: random.uniform(1, 1.4),
        pauseS: random.uniform(0.8, 1.2),
        drive: {
          firstPeakMps: random.uniform(0.5, 0.65),
          slowMps: null,
          secondPeakMps: random.uniform(0.5, 0.65),
        },
        driftBottomM: 0,
        driftLockoutM: random.uniform(-0.05, -0.02),
        bowM: random.uniform(-0.012, 0.012),
        descentBowM: 0,
      };
  }
}

/** A lift with nuisances drawn from the seed, apart from what is given. */
export function drawScene(seed: number, overrides: SceneOverrides = {}): SceneSpec {
  const random = randomOf(seed);
  const lift = overrides.lift ?? random.pick(['squat', 'bench', 'deadlift'] as const);
  const lifter = {
    heightM: random.uniform(1.62, 1.86),
    build: random.uniform(1, 1.25),
    ...random.pick(looks),
    shirt: random.pick(['#2f4a6d', '#7a2f35', '#2d2f33', '#5d6a5a', '#d8d4cc']),
    shorts: random.pick(['#1d1f24', '#2b3550', '#3a3a3c']),
    shoes: random.pick(['#e8e6e0', '#2a2a2c', '#3c5d8c']),
    ...overrides.lifter,
  };
  const colour = random.pick(['#23262b', '#2c4f8f', '#8f2b2f', '#3d6b4a', '#2a2d31']);
  const design = random.pick(['rubber', 'calibrated', 'iron', 'club'] as const);
  const rep = ordinaryRep(lift, random, lifter.heightM);
  const spec: SceneSpec = {
    seed,
    lift,
    facing: overrides.facing ?? random.pick(['left', 'right'] as const),
    loadKg: overrides.loadKg ?? 20 + 2 * random.pick([20, 25, 40]),
    discs: overrides.discs ?? [
      {
        diameterM: 0.45,
        thicknessM: design === 'rubber' || design === 'club' ? 0.063 : 0.036,
        design,
        colour,
      },
    ],
    lifter,
    gym: {
      seed,
      wall: random.pick(['brick', 'boards', 'paint', 'blocks'] as const),
      wallColour: random.pick(['#9a8f84', '#8d9499', '#a58a72', '#7d8a8a']),
      floorColour: random.pick(['#34363a', '#3d3a37', '#2f3338']),
      rackColour: random.pick(['#1f2226', '#6e2429', '#24405f']),
      padColour: random.pick(['#20242a', '#5b1f24', '#233a58']),
      wallBehindM: random.uniform(2.8, 4.2),
      windows: random.uniform(0, 1) > 0.4,
      ...overrides.gym,
    },
    camera: { xM: 0, yM: 1, zM: 3.5, panRad: 0, tiltRad: 0, rollRad: 0, focalPx: 1000, ...stillCamera },
    film: { ...ordinaryFilm, ...overrides.film },
    plan: {
      leadS: 0.6,
      unrack: false,
      rerack: false,
      settleS: 0.9,
      holdS: 0.9,
      tailS: 0.4,
      swayM: 0.0015,
      spinRadPerM: random.uniform(-0.5, 0.5),
      ...overrides.plan,
      reps: (overrides.reps ?? [{}]).map((r) => ({ ...rep, ...r })),
    },
  };
  const camera = placeCamera(spec, {
    distanceM: random.uniform(3.3, 3.8),
    heightM: random.uniform(0.85, 1.05) - (lift === 'deadlift' ? 0.2 : 0),
    offSquareRad: 0,
    rollRad: 0,
    aimRightM: 0,
    aimUpM: 0,
    fieldOfViewRad: (54 * Math.PI) / 180,
    ...stillCamera,
    ...overrides.camera,
  });
  const placed = { ...spec, camera };
  return {
    ...placed,
    ...(overrides.extras ? { extras: overrides.extras.flatMap((f) => f(placed)) } : {}),
    ...(overrides.body ? { body: overrides.body } : {}),
  };
}
