import type { BarMotion } from '../motion/bar-motion.ts';
import { poseAt, type Pose, type Side } from './pose.ts';
import { appearance, type Shot } from './shot.ts';
import type { SceneSpec } from './spec.ts';
import { mix, type Vec3 } from './vec.ts';

/**
 * The lifter's pose as a picture shows it whose rows are read one after another: each joint is where it is when its own
 * row is read, on a straight way between the poses at the first and the last row. `place` puts a joint into the scene.
 */
export function readPose(
  spec: SceneSpec,
  motion: BarMotion,
  shot: Shot,
  tS: number,
  place: (p: Vec3) => Vec3,
): Pose {
  const { readOutS } = spec.film;
  const pose = poseAt(spec, motion, tS);
  if (readOutS === 0) return pose;
  const first = poseAt(spec, motion, tS - readOutS / 2);
  const last = poseAt(spec, motion, tS + readOutS / 2);
  const read = (a: Vec3, b: Vec3): Vec3 => {
    const at = (atS: number): Vec3 => mix(a, b, (atS - tS) / readOutS + 0.5);
    return at(tS + shot.rowDelayS(appearance(shot, tS, (atS) => place(at(atS))).yPx));
  };
  const side = (a: Side, b: Side): Side => ({
    ...a,
    shoulder: read(a.shoulder, b.shoulder),
    elbow: read(a.elbow, b.elbow),
    hand: read(a.hand, b.hand),
    hip: read(a.hip, b.hip),
    knee: read(a.knee, b.knee),
    ankle: read(a.ankle, b.ankle),
    toe: read(a.toe, b.toe),
  });
  return {
    ...pose,
    near: side(first.near, last.near),
    far: side(first.far, last.far),
    pelvis: read(first.pelvis, last.pelvis),
    chest: read(first.chest, last.chest),
    head: read(first.head, last.head),
  };
}
