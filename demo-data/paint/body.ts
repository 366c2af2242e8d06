import type { Pose, Side } from '../scene/pose.ts';
import type { LifterSpec, SceneSpec } from '../scene/spec.ts';
import { add, mix, scale, sub, unit, type Vec3 } from '../scene/vec.ts';
import { shade } from './colour.ts';
import { paintHead } from './head.ts';
import {
  forearm,
  kneeSleeve,
  shank,
  shortsLeg,
  sleeve,
  sock,
  thigh,
  upperArm,
  wristWrap,
} from './limb-profiles.ts';
import { dotOf, fillRound, limb, outline, polygon, sizePx, type Pen, type Station } from './pen.ts';
import { trunkProfile, uprightTrunk, type TrunkProfile } from './trunk.ts';

/** Puts a body point into the scene. */
export type Place = (p: Vec3) => Vec3;

/** How somebody looks, whatever he does. */
export interface Figure {
  look: LifterSpec;
  trunk: TrunkProfile;
  gear: { kneeSleeves: boolean; wristWraps: boolean; belt: boolean };
}

export const lifterFigure = (spec: SceneSpec, pose: Pose): Figure => ({
  look: spec.lifter,
  trunk: trunkProfile(spec, pose),
  gear: {
    kneeSleeves: spec.lift === 'squat',
    wristWraps: spec.lift === 'bench',
    belt: spec.lift !== 'bench',
  },
});

/** Somebody who does not lift. */
export const bystander = (look: LifterSpec): Figure => ({
  look,
  trunk: uprightTrunk(look),
  gear: { kneeSleeves: false, wristWraps: false, belt: false },
});

/** A body in side view, from its far side to its near side. */
export function paintBody(pen: Pen, figure: Figure, pose: Pose, place: Place): void {
  const { look: lifter, gear } = figure;
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
    if (gear.kneeSleeves) draw(s.hip, s.knee, forward, kneeSleeve, '#2a2c31', k);
    draw(s.hip, s.knee, forward, shortsLeg, lifter.shorts, k);
  };
  const arm = (s: Side, k: number): void => {
    const out: Vec3 = unit(sub(s.elbow, mix(s.shoulder, s.hand, 0.5)));
    draw(s.shoulder, s.elbow, out, upperArm, lifter.skin, k);
    draw(s.elbow, s.hand, out, forearm, lifter.skin, k);
    if (gear.wristWraps) draw(s.elbow, s.hand, out, wristWrap, '#33363c', k);
    paintFist(pen, s, lifter.skin, k, place);
    draw(s.shoulder, s.elbow, out, sleeve, lifter.shirt, k);
  };
  leg(pose.far, 0.55);
  arm(pose.far, 0.55);
  paintNeck(pen, lifter, pose, place);
  paintHead(pen, lifter, pose, place);
  paintTrunk(pen, figure, pose, place);
  leg(pose.near, 1);
  arm(pose.near, 1);
}

function paintNeck(pen: Pen, lifter: LifterSpec, pose: Pose, place: Place): void {
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

function paintTrunk(pen: Pen, { look: lifter, trunk: shape, gear }: Figure, pose: Pose, place: Place): void {
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
  if (!gear.belt) return;
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
export function paintFist(
  pen: Pen,
  s: Pick<Side, 'hand' | 'elbow'>,
  skin: string,
  k: number,
  place: Place,
): void {
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
  const size = (s.toe[0] - s.ankle[0]) / 0.2;
  // A lifted foot turns about its toes.
  const lift = (x: number) => ((s.heelLiftM ?? 0) * (0.2 * size - x)) / (0.285 * size);
  const at = (x: number, y: number) => place([s.ankle[0] + x, ground + y + lift(x), s.ankle[2]]);
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
