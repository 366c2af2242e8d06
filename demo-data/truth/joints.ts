import type { Joint } from '../../shared-lib/contract/body.ts';
import type { BarMotion } from '../motion/bar-motion.ts';
import { inScene, layoutOf } from '../scene/layout.ts';
import { poseAt } from '../scene/pose.ts';
import { appearance, type Shot } from '../scene/shot.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { add, mix, scale, unit, type Vec3 } from '../scene/vec.ts';

/** One joint of the near side at a time: body axes (x forward, y up, z toward the viewer from the body's middle), and where it appears. */
export interface JointTruth {
  at: Vec3;
  xPx: number;
  yPx: number;
}

/** How far the crease lies in front of the hip joint and the knee's top above its joint, metres: as the painted lifter has them. */
const creaseM = 0.08;
const kneeTopM = 0.055;
/** Where the wrist is on the way from the elbow to the middle of the fist. */
const wristShare = 0.87;

/**
 * Every joint that can be marked, exact, at a real time.
 *
 * @param midlineM how far the body's middle is behind the disc's near face; where the scene has it unless given
 */
export function jointsAt(
  spec: SceneSpec,
  motion: BarMotion,
  shot: Shot,
  tS: number,
  midlineM?: number,
): Record<Joint, JointTruth> {
  const layout = layoutOf(spec);
  const middleZ = midlineM === undefined ? layout.middleZ : -midlineM;
  const bodyAt = (atS: number): Record<Joint, Vec3> => {
    const pose = poseAt(spec, motion, atS);
    const { shoulder, elbow, hand, hip, knee, ankle, toe, heelLiftM = 0 } = pose.near;
    const size = (toe[0] - ankle[0]) / 0.2;
    return {
      head: pose.head,
      shoulder,
      elbow,
      wrist: mix(elbow, hand, wristShare),
      hip,
      knee,
      ankle,
      heel: [ankle[0] - 0.082 * size, toe[1] - 0.013 + heelLiftM, ankle[2]],
      toe,
      'hip crease': add(hip, scale(unit(pose.front), creaseM)),
      'knee top': add(knee, [0, kneeTopM, 0]),
    };
  };
  const now = bodyAt(tS);
  const joints = {} as Record<Joint, JointTruth>;
  for (const joint of Object.keys(now) as Joint[]) {
    const seen = appearance(shot, tS, (atS) => {
      const [x, y, z] = bodyAt(atS)[joint];
      return inScene(layout, x, y, z + middleZ);
    });
    joints[joint] = { at: now[joint], ...seen };
  }
  return joints;
}
