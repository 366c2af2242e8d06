import type { Pose, Side } from '../scene/pose.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { add, mix, scale, sub, unit, type Vec3 } from '../scene/vec.ts';
import { shade } from './colour.ts';
import { paintHead } from './head.ts';
import { dotOf, fillRound, limb, outline, polygon, sizePx, type Pen, type Station } from './pen.ts';
import { trunkProfile, type TrunkProfile } from './trunk.ts';

type Place = (p: Vec3) => Vec3;

/** Half thicknesses of a slender build, front or outer side first; drawn by eye after anatomy plates. */
const thigh: Station[] = [
  [-0.02, 0.085, 0.1],
  [0.25, 0.088, 0.092],
  [0.55, 0.08, 0.078],
  [0.85, 0.064, 0.056],
  [1, 0.06, 0.05],
];
const shortsLeg: Station[] = [
  [-0.02, 0.094, 0.108],
  [0.25, 0.098, 0.102],
  [0.5, 0.094, 0.094],
  [0.64, 0.092, 0.09],
];
const kneeSleeve: Station[] = [
  [0.8, 0.066, 0.06],
  [1.02, 0.063, 0.054],
];
const shank: Station[] = [
  [0, 0.056, 0.048],
  [0.12, 0.05, 0.056],
  [0.32, 0.044, 0.068],
  [0.6, 0.037, 0.048],
  [0.92, 0.033, 0.034],
  [1, 0.034, 0.034],
];
const sock: Station[] = [
  [0.72, 0.037, 0.043],
  [1, 0.037, 0.038],
];
const upperArm: Station[] = [
  [0, 0.06, 0.06],
  [0.2, 0.063, 0.06],
  [0.5, 0.054, 0.053],
  [0.85, 0.044, 0.043],
  [1, 0.043, 0.041],
];
const sleeve: Station[] = [
  [-0.06, 0.068, 0.066],
  [0.2, 0.072, 0.068],
  [0.52, 0.066, 0.064],
];
const forearm: Station[] = [
  [0, 0.042, 0.042],
  [0.2, 0.047, 0.046],
  [0.5, 0.04, 0.04],
  [0.85, 0.029, 0.028],
];
const wristWrap: Station[] = [
  [0.7, 0.036, 0.036],
  [0.86, 0.033, 0.033],
];

/** The lifter from the far side to the near side. `place` puts a body point into the scene. */
export function paintBody(pen: Pen, spec: SceneSpec, pose: Pose, place: Place): void {
  const { lifter, lift } = spec;
  const draw = (
    a: Vec3,
    b: Vec3,
    hint: Vec3,
    stations: readonly Station[],
    colour: string,
    k: number,
  ): void =>
    limb(
      pen,
      place(a),
      place(b),
      sub(place(add(a, hint)), place(a)),
      stations.map(([s, x, y]) => [s, x * lifter.build, y * lifter.build] as const),
      colour,
      k,
    );
  const leg = (s: Side, k: number): void => {
    const forward = unit(sub(s.knee, mix(s.hip, s.ankle, 0.5)));
    draw(s.knee, s.ankle, forward, shank, lifter.skin, k);
    draw(s.knee, s.ankle, forward, sock, '#e9e7e1', 0.8 * k);
    paintShoe(pen, s, lifter.shoes, k, place);
    draw(s.hip, s.knee, forward, thigh, lifter.skin, k);
    if (lift === 'squat') draw(s.hip, s.knee, forward, kneeSleeve, '#2a2c31', k);
    draw(s.hip, s.knee, forward, shortsLeg, lifter.shorts, k);
  };
  const arm = (s: Side, k: number): void => {
    const out: Vec3 = unit(sub(s.elbow, mix(s.shoulder, s.hand, 0.5)));
    draw(s.shoulder, s.elbow, out, upperArm, lifter.skin, k);
    draw(s.elbow, s.hand, out, forearm, lifter.skin, k);
    if (lift === 'bench') draw(s.elbow, s.hand, out, wristWrap, '#33363c', k);
    paintFist(pen, s, lifter.skin, k, place);
    draw(s.shoulder, s.elbow, out, sleeve, lifter.shirt, k);
  };
  const shape = trunkProfile(spec, pose);
  leg(pose.far, 0.55);
  arm(pose.far, 0.55);
  paintNeck(pen, spec, pose, place);
  paintHead(pen, lifter, pose, place);
  paintTrunk(pen, spec, pose, shape, place);
  leg(pose.near, 1);
  arm(pose.near, 1);
}

function paintNeck(pen: Pen, { lifter }: SceneSpec, pose: Pose, place: Place): void {
  const to = mix(pose.chest, pose.head, 0.75);
  const hint = sub(place(add(pose.chest, pose.front)), place(pose.chest));
  const r = 0.055 * lifter.build;
  limb(
    pen,
    place(pose.chest),
    place(to),
    hint,
    [
      [0, r, r * 1.25],
      [0.5, r * 0.95, r * 1.1],
      [1, r * 0.85, r],
    ],
    lifter.skin,
    0.85,
  );
}

function paintTrunk(pen: Pen, spec: SceneSpec, pose: Pose, shape: TrunkProfile, place: Place): void {
  const { lifter } = spec;
  const along = sub(pose.chest, pose.pelvis);
  const at = (s: number, off: number): Vec3 =>
    place(add(add(pose.pelvis, scale(along, s)), scale(pose.front, off)));
  const ring = (from: number, to: number): Vec3[] => {
    const up = shape.front.filter(([s]) => s >= from && s <= to);
    const down = shape.back.filter(([s]) => s >= from && s <= to).reverse();
    return [...up, ...down].map(([s, off]) => at(s, off));
  };
  const edgeA = dotOf(pen, at(0.6, 0.15));
  const edgeB = dotOf(pen, at(0.6, -0.15));
  const fill = (corners: Vec3[], colour: string): void => {
    outline(
      pen,
      corners.map((c) => dotOf(pen, c)),
      true,
    );
    fillRound(pen, edgeA, edgeB, colour);
  };
  fill(ring(-0.4, 0.25), lifter.shorts);
  fill(ring(0.02, 1.2), lifter.shirt);
  // Folds of the shirt, from the armpit down and over the waist.
  const { ctx } = pen;
  ctx.strokeStyle = shade(lifter.shirt, 0.35, 0.45);
  ctx.lineWidth = sizePx(pen, at(0.5, 0), 0.006);
  for (const [s0, o0, s1, o1] of [
    [0.78, 0.02, 0.55, 0.07],
    [0.7, -0.03, 0.42, -0.06],
    [0.34, 0.05, 0.28, -0.03],
    [0.22, 0.02, 0.19, -0.07],
  ] as const) {
    const a = dotOf(pen, at(s0, o0));
    const b = dotOf(pen, at(s1, o1));
    const c = dotOf(pen, at((s0 + s1) / 2 - 0.03, (o0 + o1) / 2 + 0.015));
    ctx.beginPath();
    ctx.moveTo(a.x, a.y);
    ctx.quadraticCurveTo(c.x, c.y, b.x, b.y);
    ctx.stroke();
  }
  if (spec.lift === 'bench') return;
  const beltEdge = (list: TrunkProfile['front'], outM: number) =>
    [0.14, 0.34].map((s) => at(s, offsetAt(list, s) + outM));
  fill([...beltEdge(shape.front, 0.008), ...beltEdge(shape.back, -0.008).reverse()], '#3a2c22');
}

/** The profile between its points, at a share of the way up. */
function offsetAt(list: TrunkProfile['front'], s: number): number {
  const i = list.findIndex(([q]) => q >= s);
  const [s0, o0] = list[i - 1];
  const [s1, o1] = list[i];
  return o0 + ((o1 - o0) * (s - s0)) / (s1 - s0);
}

/** A hand closed round the bar. */
function paintFist(pen: Pen, s: Side, skin: string, k: number, place: Place): void {
  const along = unit(sub(s.hand, s.elbow));
  const across: Vec3 = [-along[1], along[0], 0];
  const at = (a: number, c: number) => place(add(s.hand, add(scale(along, a), scale(across, c))));
  const dots = [
    [-0.06, 0.03],
    [-0.01, 0.042],
    [0.03, 0.034],
    [0.042, 0.0],
    [0.028, -0.038],
    [-0.015, -0.042],
    [-0.06, -0.028],
  ].map(([a, c]) => dotOf(pen, at(a, c)));
  outline(pen, dots, true);
  fillRound(pen, dotOf(pen, at(0, 0.045)), dotOf(pen, at(0, -0.045)), skin, k);
}

function paintShoe(pen: Pen, s: Side, colour: string, k: number, place: Place): void {
  const ground = s.toe[1] - 0.025;
  const at = (x: number, y: number) => place([s.ankle[0] + x, ground + y, s.ankle[2]]);
  const size = (s.toe[0] - s.ankle[0]) / 0.2;
  const upper = [
    [-0.085, 0.012],
    [-0.085, 0.06],
    [-0.06, 0.115],
    [-0.02, 0.105],
    [0.04, 0.115],
    [0.075, 0.085],
    [0.15, 0.06],
    [0.21, 0.045],
    [0.225, 0.012],
  ] as const;
  outline(
    pen,
    upper.map(([x, y]) => dotOf(pen, at(x * size, y))),
    true,
  );
  fillRound(pen, dotOf(pen, at(0.06, 0.1)), dotOf(pen, at(0.06, 0)), colour, k);
  polygon(
    pen,
    [
      [-0.08, 0],
      [-0.082, 0.02],
      [0.21, 0.02],
      [0.212, 0],
    ].map(([x, y]) => at(x * size, y)),
    shade('#d9d7d0', 0.55 * k),
  );
}
