import type { BarMotion } from '../motion/bar-motion.ts';
import { rackOffset } from '../motion/plan.ts';
import { legInMotion } from './body-motion.ts';
import {
  barOnBack,
  benchShoulderM,
  benchTopM,
  buildOf,
  handHalfM,
  startHeightM,
  type Build,
} from './build.ts';
import type { SceneSpec } from './spec.ts';
import { add, dot, mix, norm, scale, sub, unit, type Vec3 } from './vec.ts';

/** One side's joints; body axes: x forward, y up, z toward the viewer from the body's own middle plane. */
export interface Side {
  shoulder: Vec3;
  elbow: Vec3;
  hand: Vec3;
  hip: Vec3;
  knee: Vec3;
  ankle: Vec3;
  toe: Vec3;
  /** How far the heel is off the ground that the toe stands on, metres. */
  heelLiftM?: number;
}

export interface Pose {
  near: Side;
  far: Side;
  /** Middle of the hip and of the shoulder line, of the head, and the way the face looks. */
  pelvis: Vec3;
  chest: Vec3;
  head: Vec3;
  face: Vec3;
  /** Direction of the front of the trunk. */
  front: Vec3;
  build: Build;
}

/** The middle joint of two links from a to b; bends toward the hint. Out of reach it stays straight. */
export function bend(a: Vec3, b: Vec3, first: number, second: number, hint: Vec3): Vec3 {
  const way = sub(b, a);
  const d = Math.min(Math.max(norm(way), Math.abs(first - second) + 1e-4), first + second - 1e-6);
  const along = unit(way);
  const k = (first * first - second * second + d * d) / (2 * d);
  const height = Math.sqrt(Math.max(0, first * first - k * k));
  const side = unit(sub(hint, scale(along, dot(hint, along))));
  return add(add(a, scale(along, k)), scale(side, height));
}

const mirrored = (p: Vec3): Vec3 => [p[0], p[1], -p[2]];
export const mirroredSide = (s: Side): Side => ({
  shoulder: mirrored(s.shoulder),
  elbow: mirrored(s.elbow),
  hand: mirrored(s.hand),
  hip: mirrored(s.hip),
  knee: mirrored(s.knee),
  ankle: mirrored(s.ankle),
  toe: mirrored(s.toe),
});

export const smooth = (s: number): number => {
  const k = Math.min(Math.max(s, 0), 1);
  return k * k * (3 - 2 * k);
};

/** The lifter's joints at a time, from the bar's place and what else the body does. */
export function poseAt(spec: SceneSpec, motion: BarMotion, tS: number): Pose {
  const pose = poseOfBar(spec, motion, tS);
  if (!spec.body) return pose;
  const leg = (side: Side): Side => legInMotion(spec.body, motion, tS, side);
  return { ...pose, near: leg(pose.near), far: leg(pose.far) };
}

const widerM = ({ body }: SceneSpec): number => body?.widerM ?? 0;

function poseOfBar(spec: SceneSpec, motion: BarMotion, tS: number): Pose {
  switch (spec.lift) {
    case 'bench':
      return benchPose(spec, motion, tS);
    case 'squat':
      return squatPose(spec, motion, tS);
    case 'deadlift':
      return deadliftPose(spec, motion, tS);
  }
}

function benchPose(spec: SceneSpec, motion: BarMotion, tS: number): Pose {
  const b = buildOf(spec.lifter);
  const bar = motion.at(tS);
  const shoulder: Vec3 = [0, benchShoulderM, b.shoulderHalf];
  const hand: Vec3 = [bar.xM, bar.yM, handHalfM.bench];
  // Elbows leave the body about half-way between side and shoulder line.
  const elbow = bend(shoulder, hand, b.upperArm, b.forearm, [0.55, -0.6, 0.7]);
  const hip: Vec3 = [b.trunk * 0.97, benchTopM + 0.115, b.hipHalf + 0.03];
  const ankle: Vec3 = [hip[0] + 0.2, b.ankle + 0.01, b.hipHalf + 0.2 + widerM(spec)];
  const knee = bend(hip, ankle, b.thigh, b.shank, [1, 0.9, 0.35]);
  const near: Side = {
    shoulder,
    elbow,
    hand,
    hip,
    knee,
    ankle,
    toe: [ankle[0] + b.foot * 0.78, 0.025, ankle[2] + 0.03],
  };
  return {
    near,
    far: mirroredSide(near),
    pelvis: [hip[0], hip[1], 0],
    chest: [0, benchShoulderM, 0],
    head: [-b.neck * 1.05, benchTopM + b.head * 0.98 + 0.02, 0],
    face: [0.12, 1, 0],
    front: [0, 1, 0],
    build: b,
  };
}

/** Where a foot stands, and how high it is lifted, while the lifter walks the bar out and back in two steps a foot. */
function footOf(motion: BarMotion, tS: number, isNear: boolean): { xM: number; liftM: number } {
  const out = motion.spans.find((s) => s.stage.name === 'walk out');
  const back = motion.spans.find((s) => s.stage.name === 'walk in');
  const steps = isNear ? [0.05, 0.4] : [0.5, 0.9];
  const stand = (k: number) => ({
    share: smooth((k - steps[0]) / (steps[1] - steps[0])),
    lift:
      k > steps[0] && k < steps[1] ? 0.05 * Math.sin((Math.PI * (k - steps[0])) / (steps[1] - steps[0])) : 0,
  });
  if (!out) return { xM: 0, liftM: 0 };
  const outS = stand((tS - out.fromS) / (out.toS - out.fromS));
  const backS = back ? stand((tS - back.fromS) / (back.toS - back.fromS)) : { share: 0, lift: 0 };
  return { xM: rackOffset.squat.xM * (1 - outS.share + backS.share), liftM: outS.lift + backS.lift };
}

/** Legs from the hips to feet at given places. */
function legOf(
  b: Build,
  hip: Vec3,
  footX: number,
  liftM: number,
  spread: number,
): Pick<Side, 'hip' | 'knee' | 'ankle' | 'toe'> {
  const ankle: Vec3 = [footX - b.foot * 0.28, b.ankle + liftM, spread];
  return {
    hip,
    knee: bend(hip, ankle, b.thigh, b.shank, [1, 0.25, 0.35]),
    ankle,
    toe: [ankle[0] + b.foot * 0.78, 0.025 + liftM, spread + 0.05],
  };
}

function squatPose(spec: SceneSpec, motion: BarMotion, tS: number): Pose {
  const b = buildOf(spec.lifter);
  const bar = motion.at(tS);
  const stand = startHeightM('squat', spec.lifter);
  const depth = Math.max(0, (stand - bar.yM) / 0.65);
  const lean = 0.1 + 0.62 * smooth(depth * 0.92 + 0.04);
  const along: Vec3 = [Math.sin(lean), Math.cos(lean), 0];
  const front: Vec3 = [Math.cos(lean), -Math.sin(lean), 0];
  const barAt: Vec3 = [bar.xM, bar.yM, 0];
  const chest = add(sub(barAt, scale(along, barOnBack.along)), scale(front, barOnBack.behind));
  const pelvis = sub(chest, scale(along, b.trunk));
  const side = (isNear: boolean): Side => {
    const z = isNear ? 1 : -1;
    const foot = footOf(motion, tS, isNear);
    const leg = legOf(
      b,
      [pelvis[0], pelvis[1], b.hipHalf + 0.03],
      foot.xM,
      foot.liftM,
      b.hipHalf + 0.11 + widerM(spec),
    );
    const shoulder: Vec3 = [chest[0], chest[1], b.shoulderHalf];
    const hand: Vec3 = [bar.xM + 0.01, bar.yM, handHalfM.squat];
    const reach: Side = {
      ...leg,
      shoulder,
      hand,
      elbow: bend(shoulder, hand, b.upperArm, b.forearm * 0.9, [-0.55, -1, 0.1]),
    };
    return z > 0 ? reach : mirroredSide(reach);
  };
  return {
    near: side(true),
    far: side(false),
    pelvis,
    chest,
    head: add(chest, add(scale(along, b.neck * 0.98), scale(front, 0.035))),
    face: unit(mix(front, [1, 0, 0], 0.75)),
    front,
    build: b,
  };
}

function deadliftPose(spec: SceneSpec, motion: BarMotion, tS: number): Pose {
  const b = buildOf(spec.lifter);
  // Hands that have let go stay where they were.
  const bar = motion.at(Math.min(tS, motion.letGoS));
  const top = spec.plan.reps[0].romM;
  const up = smooth((bar.yM - 0.225) / top);
  const lean = 1.02 * (1 - up) - 0.03;
  const along: Vec3 = [Math.sin(lean), Math.cos(lean), 0];
  const front: Vec3 = [Math.cos(lean), -Math.sin(lean), 0];
  const arm = (b.upperArm + b.forearm) * 0.995;
  const across = handHalfM.deadlift - b.shoulderHalf;
  const drop = Math.sqrt(arm * arm - across * across);
  const ahead = 0.05 * (1 - up) - 0.075 * up;
  const chest: Vec3 = [bar.xM + ahead, bar.yM + Math.sqrt(drop * drop - ahead * ahead), 0];
  const pelvis = sub(chest, scale(along, b.trunk));
  const leg = legOf(b, [pelvis[0], pelvis[1], b.hipHalf + 0.03], 0.01, 0, b.hipHalf + 0.05 + widerM(spec));
  const shoulder: Vec3 = [chest[0], chest[1], b.shoulderHalf];
  const hand: Vec3 = [bar.xM, bar.yM, handHalfM.deadlift];
  const near: Side = {
    ...leg,
    shoulder,
    hand,
    elbow: bend(shoulder, hand, b.upperArm, b.forearm, [-1, 0, 0.2]),
  };
  return {
    near,
    far: mirroredSide(near),
    pelvis,
    chest,
    head: add(chest, add(scale(along, b.neck * 0.98), scale(front, 0.03))),
    face: unit(mix(front, [1, -0.1, 0], 0.45)),
    front,
    build: b,
  };
}
