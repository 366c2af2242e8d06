import { bend, mirroredSide, smooth, type Pose, type Side } from './pose.ts';
import { buildOf, type Build } from './build.ts';
import type { LifterSpec } from './spec.ts';
import { add, mix, scale, sub, type Vec3 } from './vec.ts';

/** A trunk with its head over a given pelvis, leaning forward. */
function trunkOver(
  b: Build,
  pelvis: Vec3,
  leanRad: number,
): Pick<Pose, 'pelvis' | 'chest' | 'head' | 'face' | 'front'> {
  const along: Vec3 = [Math.sin(leanRad), Math.cos(leanRad), 0];
  const front: Vec3 = [Math.cos(leanRad), -Math.sin(leanRad), 0];
  const chest = add(pelvis, scale(along, b.trunk));
  return {
    pelvis,
    chest,
    head: add(chest, add(scale(along, b.neck * 0.98), scale(front, 0.02))),
    face: [1, -0.12, 0],
    front,
  };
}

const legTo = (b: Build, hip: Vec3, ankle: Vec3): Pick<Side, 'hip' | 'knee' | 'ankle' | 'toe'> => ({
  hip,
  knee: bend(hip, ankle, b.thigh, b.shank, [1, 0.2, 0.1]),
  ankle,
  toe: [ankle[0] + b.foot * 0.78, 0.025 + ankle[1] - b.ankle, ankle[2] + 0.02],
});

const armTo = (b: Build, shoulder: Vec3, hand: Vec3): Pick<Side, 'shoulder' | 'elbow' | 'hand'> => ({
  shoulder,
  elbow: bend(shoulder, hand, b.upperArm, b.forearm, [-1, -0.2, 0.2]),
  hand,
});

/** Share of a step's time that a foot stands, and steps of one foot in a second at 1 m/s; common practice. */
const stance = 0.6;
const strideHz = 0.85;

/**
 * Somebody who walks along +x, `walkedM` metres after his near foot came down; body axes move with him. Feet that stand
 * do not slide.
 */
export function walkPose(
  look: LifterSpec,
  walkedM: number,
  speedMps: number,
  hands: 'swing' | 'carry',
): Pose {
  const b = buildOf(look);
  const strideM = Math.min(speedMps / strideHz, 1.05);
  const phase = walkedM / strideM;
  const hipY = b.ankle + (b.shank + b.thigh) * 0.955 + 0.012 * Math.cos(4 * Math.PI * phase);
  const side = (shift: number): Side => {
    const k = (((phase + shift) % 1) + 1) % 1;
    const swing = Math.max(0, (k - stance) / (1 - stance));
    const reach = stance * strideM;
    const x = k < stance ? reach / 2 - k * strideM : -reach / 2 + reach * smooth(swing);
    const liftM = k < stance ? 0 : 0.07 * Math.sin(Math.PI * swing);
    const hip: Vec3 = [0, hipY, b.hipHalf + 0.02];
    const shoulder: Vec3 = [Math.sin(0.05) * b.trunk, hipY + b.trunk, b.shoulderHalf];
    const swingRad = hands === 'swing' ? -0.45 * Math.sin(2 * Math.PI * (k - 0.05)) : 0;
    const down = (b.upperArm + b.forearm) * 0.96;
    const hand: Vec3 =
      hands === 'carry'
        ? add(shoulder, [0.36, -0.3, -0.02])
        : add(shoulder, [down * Math.sin(swingRad), -down * Math.cos(swingRad), 0.06]);
    return { ...legTo(b, hip, [x, b.ankle + liftM, b.hipHalf + 0.03]), ...armTo(b, shoulder, hand) };
  };
  return { near: side(0), far: mirroredSide(side(0.5)), ...trunkOver(b, [0, hipY, 0], 0.05), build: b };
}

/** Somebody who stands with the near hand on its way from hanging (0) to a place (1), leaning a little into it. */
export function reachPose(look: LifterSpec, hand: Vec3, share: number): Pose {
  const b = buildOf(look);
  const hipY = b.ankle + (b.shank + b.thigh) * 0.98;
  const far = Math.max(0, hipY + b.trunk - hand[1] - 0.35);
  const lean = 0.06 + share * Math.min(0.75, 0.25 + 0.7 * far);
  const trunk = trunkOver(b, [-0.12 * Math.sin(lean), hipY, 0], lean);
  const hangs = (b.upperArm + b.forearm) * 0.97;
  const side = (isNear: boolean): Side => {
    const shoulder: Vec3 = [trunk.chest[0], trunk.chest[1], b.shoulderHalf];
    const rest = add(shoulder, [0.05, -hangs, 0.08]);
    const hip: Vec3 = [trunk.pelvis[0], hipY, b.hipHalf + 0.02];
    const ankle: Vec3 = [isNear ? 0.1 : -0.16, b.ankle, b.hipHalf + 0.08];
    const goal = mix(rest, [hand[0], hand[1], rest[2]], isNear ? share : 0.45 * share);
    return { ...legTo(b, hip, ankle), ...armTo(b, shoulder, withinReach(shoulder, goal, hangs)) };
  };
  return { near: side(true), far: mirroredSide(side(false)), ...trunk, build: b };
}

/** The goal, or the point on the way to it that an arm can reach. */
function withinReach(shoulder: Vec3, goal: Vec3, armM: number): Vec3 {
  const way = sub(goal, shoulder);
  const length = Math.hypot(...way);
  return length <= armM ? goal : add(shoulder, scale(way, armM / length));
}
