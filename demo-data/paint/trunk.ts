import { startHeightM } from '../scene/build.ts';
import { barRadiusM } from '../scene/layout.ts';
import type { Pose } from '../scene/pose.ts';
import type { LifterSpec, SceneSpec } from '../scene/spec.ts';

/** Outline of the trunk in side view: share of the way from hip to shoulder, metres in front of the line between them. */
export interface TrunkProfile {
  front: (readonly [number, number])[];
  back: (readonly [number, number])[];
}

const standing: TrunkProfile = {
  front: [
    [-0.2, 0.05],
    [-0.08, 0.085],
    [0.06, 0.1],
    [0.25, 0.1],
    [0.45, 0.102],
    [0.65, 0.118],
    [0.82, 0.125],
    [0.95, 0.1],
    [1.06, 0.06],
    [1.12, 0.025],
  ],
  back: [
    [-0.22, -0.06],
    [-0.12, -0.115],
    [0.02, -0.13],
    [0.16, -0.105],
    [0.32, -0.088],
    [0.5, -0.095],
    [0.7, -0.118],
    [0.88, -0.12],
    [1.02, -0.09],
    [1.14, -0.055],
  ],
};

const widened = (list: TrunkProfile['front'], { build }: LifterSpec): TrunkProfile['front'] =>
  list.map(([s, off]) => [s, off * (1 + (build - 1) * 0.8)] as const);

/** The trunk of somebody who stands or walks. */
export const uprightTrunk = (look: LifterSpec): TrunkProfile => ({
  front: widened(standing.front, look),
  back: widened(standing.back, look),
});

/** The trunk of this lift's lifter. On the bench it is arched, and the chest is as high as the bar's lowest place. */
export function trunkProfile(spec: SceneSpec, pose: Pose): TrunkProfile {
  if (spec.lift !== 'bench') return uprightTrunk(spec.lifter);
  const [rep] = spec.plan.reps;
  const touchY = startHeightM('bench', spec.lifter) - rep.romM - barRadiusM;
  const chest = touchY - pose.chest[1];
  return {
    front: [
      [-0.2, 0.06],
      [-0.05, 0.1],
      [0.1, 0.105],
      [0.3, 0.3 * chest + 0.075],
      [0.52, 0.75 * chest + 0.03],
      [0.7, 0.98 * chest + 0.008],
      [0.84, 1.0 * chest + 0.006],
      [0.96, 0.75 * chest],
      [1.04, 0.55 * chest],
      [1.1, 0.03],
    ],
    back: [
      [-0.2, -0.06],
      [-0.1, -0.11],
      [0.06, -0.118],
      [0.2, -0.1],
      [0.42, -0.055],
      [0.62, -0.075],
      [0.82, -0.122],
      [1.0, -0.128],
      [1.1, -0.09],
    ],
  };
}
