import type { Pose } from '../scene/pose.ts';
import type { LifterSpec } from '../scene/spec.ts';
import { add, cross, dot, scale, sub, type Vec3 } from '../scene/vec.ts';
import { shade } from './colour.ts';
import { dotOf, fillRound, outline, polygon, sizePx, type Pen } from './pen.ts';

type Profile = readonly (readonly [forward: number, up: number])[];

// Side views, metres from the head's middle; drawn by eye.
const profile: Profile = [
  [0.05, 0.1],
  [0.085, 0.062],
  [0.093, 0.03],
  [0.086, 0.012],
  [0.104, -0.012],
  [0.118, -0.034],
  [0.094, -0.042],
  [0.101, -0.058],
  [0.094, -0.068],
  [0.1, -0.08],
  [0.088, -0.112],
  [0.055, -0.112],
  [0.01, -0.08],
  [-0.055, -0.075],
  [-0.096, -0.03],
  [-0.102, 0.03],
  [-0.075, 0.088],
  [-0.01, 0.12],
];
const hair: Profile = [
  [0.086, 0.075],
  [0.06, 0.068],
  [0.036, 0.045],
  [0.022, 0.005],
  [-0.005, 0.012],
  [-0.035, -0.02],
  [-0.05, -0.07],
  [-0.088, -0.075],
  [-0.112, -0.02],
  [-0.112, 0.045],
  [-0.08, 0.105],
  [-0.01, 0.133],
  [0.055, 0.118],
];
const ear: Profile = [
  [-0.002, 0.018],
  [-0.02, 0.022],
  [-0.03, 0.004],
  [-0.016, -0.032],
  [-0.004, -0.03],
];

/** Head in side view: skin, hair, ear, eye, brow and mouth. */
export function paintHead(pen: Pen, lifter: LifterSpec, pose: Pose, place: (p: Vec3) => Vec3): void {
  const side: Vec3 = [0, 0, 1];
  const crown = cross(side, pose.face);
  const up = dot(crown, sub(pose.head, pose.chest)) >= 0 ? crown : scale(crown, -1);
  const k = pose.build.head / 0.115;
  const at = (f: number, u: number): Vec3 =>
    place(add(pose.head, add(scale(pose.face, f * k), scale(up, u * k))));
  const dots = (points: Profile) => points.map(([f, u]) => dotOf(pen, at(f, u)));
  outline(pen, dots(profile), true);
  fillRound(pen, dotOf(pen, at(0.01, 0.12)), dotOf(pen, at(0, -0.12)), lifter.skin);
  polygon(
    pen,
    hair.map(([f, u]) => at(f, u)),
    lifter.hair,
    true,
  );
  outline(pen, dots(ear), true);
  fillRound(pen, dotOf(pen, at(-0.015, 0.02)), dotOf(pen, at(-0.012, -0.03)), lifter.skin, 0.88);
  const { ctx } = pen;
  const stroke = (
    from: readonly [number, number],
    to: readonly [number, number],
    widthM: number,
    colour: string,
  ) => {
    const a = dotOf(pen, at(...from));
    const b = dotOf(pen, at(...to));
    ctx.strokeStyle = colour;
    ctx.lineWidth = sizePx(pen, at(0, 0), widthM);
    ctx.lineCap = 'round';
    ctx.beginPath();
    ctx.moveTo(a.x, a.y);
    ctx.lineTo(b.x, b.y);
    ctx.stroke();
  };
  stroke([0.066, 0.024], [0.086, 0.026], 0.009, shade(lifter.hair, 0.8));
  stroke([0.071, 0.007], [0.079, 0.007], 0.009, '#1c1410');
  stroke([0.074, -0.064], [0.094, -0.062], 0.005, shade(lifter.skin, 0.4));
}
