import { drawScene, type SceneOverrides } from './draw-scene.ts';
import type { SceneSpec } from './scene/spec.ts';
import { cachedClip } from './suite/cached-clip.ts';
import type { Truth } from './truth/schema.ts';

/** A small film with known truth, and what it is there to try. */
export interface SuiteScene {
  name: string;
  about: string;
  spec: SceneSpec;
}

const deg = Math.PI / 180;
const quick = { leadS: 0.4, settleS: 0.8, holdS: 0.7, tailS: 0.3 };
const small = { widthPx: 960, heightPx: 540 };

function scene(name: string, seed: number, about: string, overrides: SceneOverrides): SuiteScene {
  return {
    name,
    about,
    spec: drawScene(seed, {
      facing: 'right',
      ...overrides,
      plan: { ...quick, ...overrides.plan },
      film: { ...small, ...overrides.film },
    }),
  };
}

/** Ground-truth scenes: three lifts from the side, then one nuisance at a time, sets, and reps that stop short. */
export const suite: readonly SuiteScene[] = [
  scene('bench', 201, 'bench press, camera square, tripod', { lift: 'bench' }),
  scene('squat', 202, 'squat without a pause, camera square, tripod', { lift: 'squat' }),
  scene('deadlift', 203, 'deadlift single, camera square, tripod', { lift: 'deadlift' }),
  scene('bench-racked', 204, 'unrack and re-rack round the rep, which are no reps', {
    lift: 'bench',
    plan: { unrack: true, rerack: true },
  }),
  scene('squat-walked-out', 205, 'unrack, walk-out and re-rack round the rep', {
    lift: 'squat',
    plan: { unrack: true, rerack: true },
  }),
  scene('bench-facing-left', 206, 'feet to the left of the picture', { lift: 'bench', facing: 'left' }),
  scene('bench-set', 207, 'three reps that slow down', {
    lift: 'bench',
    reps: [
      { descentS: 1.2, pauseS: 0.6, drive: { firstPeakMps: 0.5, slowMps: 0.36, secondPeakMps: 0.48 } },
      { descentS: 1.25, pauseS: 0.6, drive: { firstPeakMps: 0.45, slowMps: 0.28, secondPeakMps: 0.43 } },
      { descentS: 1.4, pauseS: 0.65, drive: { firstPeakMps: 0.38, slowMps: 0.18, secondPeakMps: 0.36 } },
    ],
  }),
  scene('deadlift-set', 208, 'three reps, each put down and left at rest', {
    lift: 'deadlift',
    reps: [{}, {}, {}],
  }),
  scene('bench-no-sticking', 209, 'one smooth hill of velocity: there is no sticking point to find', {
    lift: 'bench',
    reps: [{ drive: { firstPeakMps: 0.5, slowMps: null, secondPeakMps: 0.5 } }],
  }),
  scene('squat-stops-short', 210, 'the second rep stops 22 cm short and sinks back to the safeties', {
    lift: 'squat',
    reps: [{}, { stopShortM: 0.22, drive: { firstPeakMps: 0.45, slowMps: null, secondPeakMps: 0.45 } }],
  }),
  scene('bench-by-hand', 211, 'hand-held, 3 px RMS', { lift: 'bench', camera: { shakePx: 3 } }),
  scene('squat-rolled', 212, 'camera rolled by 1.5 degrees', {
    lift: 'squat',
    camera: { rollRad: 1.5 * deg },
  }),
  scene('bench-off-square', 213, 'camera 12 degrees toward the feet', {
    lift: 'bench',
    camera: { offSquareRad: 12 * deg },
  }),
  scene('deadlift-uneven', 214, 'variable frame rate', { lift: 'deadlift', film: { jitter: 0.12 } }),
  scene('squat-portrait', 215, 'portrait film stored lying, turned by the container', {
    lift: 'squat',
    film: { widthPx: 540, heightPx: 960, rotationDeg: 90 },
  }),
  scene('bench-slow-motion', 216, 'captured at 120 and played at 30 frames a second', {
    lift: 'bench',
    plan: { leadS: 0.2, settleS: 0.6, holdS: 0.5, tailS: 0.1 },
    film: { widthPx: 640, heightPx: 360, slowMotion: 4 },
    reps: [{ descentS: 1, pauseS: 0.4 }],
  }),
  scene('bench-dim', 217, 'dim room, strong grain, long exposure', {
    lift: 'bench',
    film: { exposure: 0.5, grain: 5, shutter: 0.9, blurPx: 1 },
  }),
  scene('squat-60', 218, '60 frames a second', { lift: 'squat', film: { fps: 60 } }),
  scene('squat-read-out', 241, 'rows read over 25 ms by a hand-held camera, 2 px RMS', {
    lift: 'squat',
    film: { readOutS: 0.025 },
    camera: { shakePx: 2 },
  }),
  scene('bench-bent-lens', 242, 'wide lens that bends, 2.5 m away, disc off the middle', {
    lift: 'bench',
    camera: { lensK1: -0.08, distanceM: 2.5, aimRightM: 0.3, fieldOfViewRad: 70 * deg },
  }),
  scene('deadlift-swept', 243, 'camera that sweeps by 2.5 degrees and drifts in zoom by 0.4 %', {
    lift: 'deadlift',
    camera: { sweepPanRad: 2.5 * deg, zoomDrift: 0.004, shakePx: 0.5 },
  }),
  scene('bench-flicker', 244, 'lamps that flicker at 100 Hz in bands, and an exposure that rises by half', {
    lift: 'bench',
    film: {
      flicker: 0.25,
      shutter: 0.12,
      readOutS: 0.02,
      exposureRamp: { atS: 1.6, overS: 0.5, factor: 1.5 },
    },
  }),
  scene(
    'squat-converted',
    245,
    'captured at 24 and stored at 30 frames a second: every fifth picture twice',
    {
      lift: 'squat',
      film: { convertedFromFps: 24 },
    },
  ),
];

export interface SuiteClip {
  scene: SuiteScene;
  clip: string;
  truth: Truth;
}

/** The scene's film and truth from `cacheDir`, rendered there when it is not there yet. */
export async function suiteClip(name: string, cacheDir: string, signal?: AbortSignal): Promise<SuiteClip> {
  const found = suite.find((s) => s.name === name);
  if (!found)
    throw new Error(`There is no scene "${name}" in the suite: ${suite.map((s) => s.name).join(', ')}.`);
  return { scene: found, ...(await cachedClip(found.name, found.spec, cacheDir, signal)) };
}
