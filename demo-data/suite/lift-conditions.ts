import { discNorms } from '../../shared-lib/norms/discs.ts';
import { carried, carriedHalfDepthM } from '../paint/crossers.ts';
import type { BreakPlan, RepPlan } from '../scene/spec.ts';
import { capturedFps, over, overReps, type Condition, type OrdinaryScene } from './conditions.ts';
import { withExtras } from './cover-conditions.ts';
import { drawLook, momentOf, sightAt } from './sight.ts';

/** Films with many pictures a second cost too much for a longer lift. */
const isShort = (s: OrdinaryScene): boolean => s.reps.length === 1 && capturedFps(s.film) <= 60;

const broken = (scene: OrdinaryScene, breaks: BreakPlan[]): OrdinaryScene =>
  overReps(scene, () => ({ breaks }));

export const liftConditions: readonly Condition[] = [
  {
    name: 'stops and goes on',
    group: 'lift',
    weight: 0.5,
    fits: isShort,
    apply: (r, s) => broken(s, [{ atShare: r.uniform(0.35, 0.65), fallM: 0, stillS: r.uniform(0.2, 0.6) }]),
  },
  {
    name: 'hitches',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift === 'deadlift' && isShort(s),
    apply: (r, s) =>
      broken(
        s,
        [0.6, 0.75].map((atShare) => ({
          atShare,
          fallM: r.uniform(0.006, 0.02),
          stillS: r.uniform(0.1, 0.3),
        })),
      ),
  },
  {
    name: 'second attempt',
    group: 'lift',
    weight: 0.4,
    fits: (s) => s.lift !== 'deadlift' && isShort(s),
    apply(r, s) {
      const atShare = r.uniform(0.08, 0.14);
      return broken(s, [{ atShare, fallM: atShare * s.reps[0].romM, stillS: r.uniform(0.2, 0.4) }]);
    },
  },
  {
    name: 'sinks on the chest',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift === 'bench' && s.reps[0].pauseS > 0.4,
    apply: (r, s) => overReps(s, () => ({ sinkM: r.uniform(0.01, 0.03) })),
  },
  {
    name: 'touch-and-go',
    group: 'lift',
    weight: 0.6,
    fits: (s) => s.lift === 'bench',
    apply: (_r, s) => overReps(s, () => ({ pauseS: 0 })),
  },
  {
    name: 'handed off',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift === 'bench' && isShort(s) && capturedFps(s.film) <= 30,
    apply: (_r, s) => over(s, 'plan', { unrack: true, handOff: true, leadS: 0.3 }),
  },
  {
    name: 'dropped',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift === 'deadlift' && isShort(s),
    apply: (_r, s) => overReps(s, () => ({ dropped: true })),
  },
  {
    name: 'rebounds',
    group: 'lift',
    weight: 0.5,
    fits: (s) => s.lift === 'deadlift' && isShort(s),
    apply(_r, s) {
      const rebound: RepPlan = { ...s.reps[0], restS: 0 };
      return { ...s, reps: [...s.reps, rebound] };
    },
  },
  {
    name: 'bar whip',
    group: 'lift',
    weight: 0.6,
    apply: (r, s) => over(s, 'plan', { whipHz: r.uniform(3, 6) }),
  },
  {
    name: 'hidden for a while',
    group: 'cover',
    weight: 1,
    fits: (s) => s.camera.distanceM * Math.cos(s.camera.offSquareRad) > 2.3,
    // As fast as it takes to hide the whole disc for 0.4 to 0.7 s: by the front of what goes by, and by as much of its side as shows.
    apply(r, s) {
      const look = drawLook(r);
      const stage = r.pick(['descent', 'drive'] as const);
      const share = r.uniform(0.1, 0.9);
      const way = r.pick([-1, 1] as const);
      const hiddenS = r.uniform(0.4, 0.7);
      const nearness = r.uniform(0.25, 0.35);
      return withExtras(s, (spec) => {
        const atS = momentOf(spec, stage, share);
        const zM = Math.max(0.75, nearness * spec.camera.zM);
        const { xM } = sightAt(spec, atS, zM);
        const { fromM, toM } = carried.mat;
        const frontShare = 1 - (zM + carriedHalfDepthM) / spec.camera.zM;
        const sideM = (2 * carriedHalfDepthM * Math.abs(spec.camera.xM)) / spec.camera.zM;
        const speedMps =
          (way * (toM - fromM + sideM - frontShare * discNorms.weightlifting.diameterM)) / hiddenS;
        return [{ kind: 'walker', xM, atS, zM, speedMps, carries: 'mat', look }];
      });
    },
  },
];
