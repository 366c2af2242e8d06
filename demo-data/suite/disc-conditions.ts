import type { Random } from '../scene/random.ts';
import type { DiscSpec } from '../scene/spec.ts';
import { over, type Condition, type OrdinaryScene } from './conditions.ts';
import { withExtras } from './cover-conditions.ts';

/** Lays the same over every disc on the bar. */
const overDiscs = (scene: OrdinaryScene, values: Partial<DiscSpec>): OrdinaryScene => ({
  ...scene,
  discs: scene.discs.map((disc) => ({ ...disc, ...values })),
});

/** The outermost disc, on which the others hang before or behind. */
const outermost = (scene: OrdinaryScene): DiscSpec => scene.discs[scene.discs.length - 1];

const deg = Math.PI / 180;
const dark = ['#141517', '#1b1c1f', '#202226'] as const;

export const discConditions: readonly Condition[] = [
  {
    name: 'black on black',
    group: 'disc',
    weight: 1,
    apply(r, s) {
      const design = r.pick(['rubber', 'plain'] as const);
      const scene = overDiscs(s, { colour: r.pick(dark), design, wear: r.uniform(0.1, 0.5) });
      return over(over(scene, 'lifter', { shirt: '#17181a', shorts: '#15161a' }), 'gym', {
        wallColour: r.pick(['#1d1f22', '#26282b', '#303236'] as const),
        wall: r.pick(['paint', 'boards'] as const),
        windows: false,
      });
    },
  },
  {
    name: 'spoked disc',
    group: 'disc',
    weight: 0.8,
    apply: (r, s) => overDiscs(s, { design: 'spoked', thicknessM: r.uniform(0.028, 0.045) }),
  },
  {
    name: 'thin steel disc',
    group: 'disc',
    weight: 0.8,
    apply: (r, s) =>
      overDiscs(s, {
        design: r.pick(['calibrated', 'plain'] as const),
        colour: r.pick(['#7d8084', '#9a9da1', '#8f2b2f', '#2c4f8f'] as const),
        thicknessM: r.uniform(0.012, 0.022),
      }),
  },
  {
    name: 'plain disc',
    group: 'disc',
    weight: 0.8,
    apply: (r, s) => overDiscs(s, { design: 'plain', wear: r.uniform(0, 0.4) }),
  },
  {
    name: 'scuffed disc',
    group: 'disc',
    weight: 0.6,
    apply: (r, s) => overDiscs(s, { wear: r.uniform(1.5, 3) }),
  },
  {
    name: 'thick stack',
    group: 'disc',
    weight: 0.8,
    apply(r, s) {
      const disc: DiscSpec = { ...outermost(s), design: 'rubber', thicknessM: r.uniform(0.06, 0.085) };
      return { ...s, discs: [disc, disc, ...(r.uniform(0, 1) < 0.5 ? [disc] : [])] };
    },
  },
  {
    name: 'smaller disc in front',
    group: 'disc',
    weight: 0.8,
    apply(r, s) {
      const { diameterM, thicknessM } = outermost(s);
      const front: DiscSpec = {
        diameterM: diameterM * r.uniform(0.7, 0.88),
        thicknessM: thicknessM * r.uniform(0.6, 1),
        design: r.pick(['rubber', 'calibrated', 'iron', 'club'] as const),
        colour: r.pick(['#23262b', '#2c4f8f', '#8f2b2f', '#cfccc4'] as const),
      };
      return { ...s, discs: [...s.discs, front] };
    },
  },
  {
    name: 'change discs in front',
    group: 'disc',
    weight: 0.8,
    apply(r, s) {
      const small = (diameterM: number): DiscSpec => ({
        diameterM,
        thicknessM: r.uniform(0.012, 0.02),
        design: r.pick(['plain', 'calibrated', 'iron'] as const),
        colour: r.pick(['#cfccc4', '#3d6b4a', '#8f2b2f', '#23262b'] as const),
      });
      const count = r.pick([1, 2, 3] as const);
      const change = Array.from({ length: count }, (_, i) => small(r.uniform(0.19, 0.24) - 0.025 * i));
      return { ...s, discs: [...s.discs, ...change] };
    },
  },
  {
    name: 'run-out',
    group: 'disc',
    weight: 0.8,
    apply: (r, s) =>
      overDiscs(s, {
        runOutM: r.uniform(0.001, 0.003),
        runOutRad: r.uniform(0, 2 * Math.PI),
        wobbleRad: r.uniform(0, 1.2) * deg,
      }),
  },
  {
    name: 'second loaded bar',
    group: 'around',
    weight: 1,
    fits: (s) => s.gym.wallBehindM > 2.4,
    apply(r, s) {
      const zM = -r.uniform(1.6, s.gym.wallBehindM - 0.4);
      return withExtras(s, () => [
        {
          kind: 'loaded bar',
          xM: besideM(r),
          yM: r.pick([0.225, 0.95, 1.35] as const),
          zM,
          discs: [{ ...outermost(s), design: r.pick(['rubber', 'calibrated', 'iron', 'club'] as const) }],
        },
      ]);
    },
  },
  {
    name: 'mirror',
    group: 'around',
    weight: 0.8,
    fits: (s) => s.gym.wallBehindM < 3.2,
    apply: (r, s) =>
      withExtras(s, () => [
        {
          kind: 'mirror',
          xM: r.uniform(-0.3, 0.3),
          widthM: r.uniform(3, 4.5),
          bottomM: 0.15,
          topM: r.uniform(2, 2.5),
        },
      ]),
  },
];

/** A place beside the lifter's bar, where the other bar is not hidden by it. */
const besideM = (random: Random): number => random.pick([-1, 1] as const) * random.uniform(0.5, 1.2);
