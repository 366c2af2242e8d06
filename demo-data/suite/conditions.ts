import type { CameraPlacement, SceneOverrides } from '../draw-scene.ts';
import type { Random } from '../scene/random.ts';
import type { DiscSpec, FilmSpec, LiftPlan, RepPlan, SceneSpec } from '../scene/spec.ts';
import { coverConditions } from './cover-conditions.ts';
import { discConditions } from './disc-conditions.ts';
import { filmConditions } from './film-conditions.ts';
import { liftConditions } from './lift-conditions.ts';

/** Everything that a suite scene fixes before its conditions: given in full, so that conditions can read it. */
export interface OrdinaryScene extends SceneOverrides {
  lift: SceneSpec['lift'];
  facing: SceneSpec['facing'];
  discs: DiscSpec[];
  lifter: SceneSpec['lifter'];
  gym: SceneSpec['gym'];
  camera: CameraPlacement;
  film: FilmSpec;
  plan: Omit<LiftPlan, 'reps'>;
  reps: RepPlan[];
}

/**
 * Something that makes a clip harder than an ordinary one. It draws from a stream of its own and is laid over the
 * ordinary scene, after the conditions that stand before it in the list.
 */
export interface Condition {
  name: string;
  /** A scene holds at most one condition of a group. */
  group:
    | 'camera'
    | 'place'
    | 'light'
    | 'lamps'
    | 'readout'
    | 'lens'
    | 'film'
    | 'frames'
    | 'cover'
    | 'disc'
    | 'around'
    | 'lift';
  /** How often it is chosen, against the others' weights. */
  weight: number;
  /** Whether the scene can have it; every scene can by default. */
  fits?: (scene: OrdinaryScene) => boolean;
  apply: (random: Random, scene: OrdinaryScene) => OrdinaryScene;
}

const deg = Math.PI / 180;

/** Pictures taken in a second of real time. */
export const capturedFps = (film: FilmSpec): number => film.fps * film.slowMotion;

/** Lays a part over one of the scene's parts. */
export const over = <K extends 'camera' | 'film' | 'plan' | 'gym' | 'lifter'>(
  scene: OrdinaryScene,
  part: K,
  values: Partial<OrdinaryScene[K]>,
): OrdinaryScene => ({ ...scene, [part]: { ...scene[part], ...values } });

/** Lays the same over every rep. */
export const overReps = (
  scene: OrdinaryScene,
  values: (rep: RepPlan, i: number) => Partial<RepPlan>,
): OrdinaryScene => ({ ...scene, reps: scene.reps.map((rep, i) => ({ ...rep, ...values(rep, i) })) });

const camera: readonly Condition[] = [
  {
    name: 'rolled',
    group: 'camera',
    weight: 0.7,
    apply: (r, s) => over(s, 'camera', { rollRad: r.pick([-1, 1] as const) * r.uniform(1.5, 3.5) * deg }),
  },
  {
    name: 'low tripod',
    group: 'place',
    weight: 0.8,
    apply: (r, s) => over(s, 'camera', { heightM: r.uniform(0.25, 0.4) }),
  },
  {
    name: 'high tripod',
    group: 'place',
    weight: 0.8,
    apply: (r, s) => over(s, 'camera', { heightM: r.uniform(1.45, 1.7) }),
  },
];

const film: readonly Condition[] = [
  {
    name: 'dim',
    group: 'light',
    weight: 1.2,
    apply: (r, s) =>
      over(s, 'film', {
        exposure: r.uniform(0.4, 0.6),
        grain: r.uniform(4, 8),
        shutter: r.uniform(0.7, 1),
        blurPx: r.uniform(0.8, 1.3),
      }),
  },
  {
    name: 'compressed',
    group: 'film',
    weight: 1.2,
    apply: (r, s) => over(s, 'film', { crf: Math.round(r.uniform(31, 36)) }),
  },
  {
    name: 'soft',
    group: 'film',
    weight: 0.8,
    apply: (r, s) => over(s, 'film', { blurPx: r.uniform(1.1, 1.8) }),
  },
  {
    name: 'long exposure',
    group: 'light',
    weight: 1,
    apply: (r, s) => over(s, 'film', { shutter: r.uniform(0.85, 1) }),
  },
  {
    name: 'uneven rate',
    group: 'frames',
    weight: 1,
    // The phone's slow-motion tag and uneven time stamps do not go together in the encoder's input.
    fits: (s) => s.film.slowMotion === 1,
    apply: (r, s) => over(s, 'film', { jitter: r.uniform(0.04, 0.15) }),
  },
];

const lift: readonly Condition[] = [
  {
    name: 'unracked',
    group: 'lift',
    weight: 1,
    // A walk-out takes long, and pictures cost much to render.
    fits: (s) => s.lift !== 'deadlift' && s.reps.length === 1 && capturedFps(s.film) <= 30,
    apply: (r, s) => over(s, 'plan', { unrack: true, rerack: r.uniform(0, 1) < 0.7, leadS: 0.3 }),
  },
  {
    name: 'grind',
    group: 'lift',
    weight: 1,
    fits: (s) => s.lift !== 'deadlift' && s.reps.length === 1 && capturedFps(s.film) <= 60,
    apply: (r, s) =>
      overReps(s, () => ({
        drive: {
          firstPeakMps: r.uniform(0.3, 0.42),
          slowMps: r.uniform(0.04, 0.12),
          secondPeakMps: r.uniform(0.25, 0.4),
        },
      })),
  },
  {
    name: 'stops short',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift !== 'deadlift' && s.reps.length === 1 && capturedFps(s.film) <= 60,
    apply: (r, s) => {
      const last = s.reps[s.reps.length - 1];
      const failed: RepPlan = {
        ...last,
        stopShortM: last.romM * r.uniform(0.3, 0.5),
        drive: { firstPeakMps: r.uniform(0.3, 0.45), slowMps: null, secondPeakMps: 0.4 },
      };
      return { ...s, reps: [...s.reps, failed] };
    },
  },
];

/** All conditions, applied in this order. A new one takes the place of others only in the scenes it is chosen for. */
export const conditions: readonly Condition[] = [
  ...camera,
  ...film,
  ...lift,
  ...coverConditions,
  ...filmConditions,
  ...discConditions,
  ...liftConditions,
];
