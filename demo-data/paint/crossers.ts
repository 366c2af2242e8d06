import type { ExtraSpec, LimbSpec, SpotterSpec, UprightSpec, WalkerSpec } from '../scene/extra-spec.ts';
import { buildOf } from '../scene/build.ts';
import { inScene, type Layout } from '../scene/layout.ts';
import { reachPose, walkPose } from '../scene/people.ts';
import { smooth } from '../scene/pose.ts';
import { add, type Vec3 } from '../scene/vec.ts';
import { bystander, paintBody, paintFist } from './body.ts';
import { forearm, shank, shortsLeg, sleeve, sock, thigh, upperArm, wristWrap } from './limb-profiles.ts';
import { floorShadow, limb, type Pen, type Station } from './pen.ts';
import { box } from './prop.ts';

/** A place and the radius round it that something may take. */
export interface Reach {
  at: Vec3;
  aroundM: number;
}

/** Something drawn with the pen that may move, in front of the disc or behind the lifter. */
export interface Crosser {
  /** Depth of its nearest part. */
  z: number;
  draw(pen: Pen, tS: number): void;
  /** Where it is at a time; empty while it is out of the scene. */
  reach(tS: number): Reach[];
  /** Its greatest speed at a time, m/s. */
  speedMps(tS: number): number;
}

/** Things and people that cross the picture, from far to near. */
export function crossersOf(extras: readonly ExtraSpec[], layout: Layout): Crosser[] {
  return extras.flatMap((extra) => crosserOf(extra, layout) ?? []).sort((a, b) => a.z - b.z);
}

/** Null for what is painted otherwise. */
function crosserOf(extra: ExtraSpec, layout: Layout): Crosser | null {
  switch (extra.kind) {
    case 'upright':
      return upright(extra, layout);
    case 'limb':
      return swingingLimb(extra, layout);
    case 'spotter':
      return spotter(extra, layout);
    case 'walker':
      return walker(extra, layout);
    case 'loaded bar':
    case 'mirror':
      return null;
  }
}

function upright({ xM, zM, widthM, topM, colour }: UprightSpec, layout: Layout): Crosser {
  const [x] = inScene(layout, xM, 0, 0);
  const half = widthM / 2;
  const holes = Array.from({ length: Math.floor(topM / 0.1) - 1 }, (_, i) => 0.1 * (i + 1));
  return {
    z: zM,
    draw(pen) {
      box(pen, { x: [x - half, x + half], y: [0, topM], z: [zM - widthM, zM] }, colour);
      const r = 0.13 * widthM;
      for (const y of holes)
        box(pen, { x: [x - r, x + r], y: [y - r, y + r], z: [zM, zM + 0.001] }, '#08090a');
    },
    reach: () => [
      { at: [x, 0, zM], aroundM: widthM },
      { at: [x, topM, zM], aroundM: widthM },
    ],
    speedMps: () => 0,
  };
}

/** Out and back once over `durationS`: 0 at both ends, 1 half-way. */
const swing = (tS: number, fromS: number, durationS: number): number =>
  smooth(1 - Math.abs((2 * (tS - fromS)) / durationS - 1));

function swingingLimb(spec: LimbSpec, layout: Layout): Crosser {
  const { part, look, fromS, durationS, restRad, swungRad } = spec;
  const b = buildOf(look);
  const [first, second] = part === 'arm' ? [b.upperArm, b.forearm] : [b.thigh, b.shank + b.ankle];
  const root = inScene(layout, spec.xM, spec.yM, spec.zM);
  const along = (rad: number, lengthM: number): Vec3 => [
    layout.facingSign * Math.sin(rad) * lengthM,
    Math.cos(rad) * lengthM,
    0,
  ];
  const isThere = (tS: number) => tS > fromS && tS < fromS + durationS;
  const angle = (tS: number) => restRad + (swungRad - restRad) * swing(tS, fromS, durationS);
  const turn = Math.sign(swungRad - restRad);
  return {
    z: spec.zM,
    draw(pen, tS) {
      if (!isThere(tS)) return;
      // The joint is bent at rest and opens with the swing.
      const flex = (part === 'arm' ? 0.6 : 0.35) * (1.15 - swing(tS, fromS, durationS)) * turn;
      const joint = add(root, along(angle(tS) + flex * 0.4, first));
      const end = add(joint, along(angle(tS) - flex * 0.6, second));
      const hint: Vec3 = [layout.facingSign * Math.cos(angle(tS)), -Math.sin(angle(tS)), 0];
      const piece = (a: Vec3, to: Vec3, stations: readonly Station[], colour: string) =>
        limb(
          pen,
          a,
          to,
          hint,
          stations.map(([s, x, y]) => [s, x * look.build, y * look.build] as const),
          colour,
        );
      if (part === 'arm') {
        piece(root, joint, upperArm, look.skin);
        piece(joint, end, forearm, look.skin);
        piece(joint, end, wristWrap, look.shoes);
        paintFist(pen, { elbow: joint, hand: end }, look.skin, 1, (p) => p);
        piece(root, joint, sleeve, look.shirt);
      } else {
        piece(joint, end, shank, look.skin);
        piece(joint, end, sock, '#e9e7e1');
        piece(root, joint, thigh, look.skin);
        piece(root, joint, shortsLeg, look.shorts);
      }
    },
    reach: (tS) => (isThere(tS) ? [{ at: root, aroundM: first + second + 0.15 }] : []),
    speedMps: (tS) => (Math.abs(angle(tS + 0.005) - angle(tS - 0.005)) / 0.01) * (first + second),
  };
}

function spotter(spec: SpotterSpec, layout: Layout): Crosser {
  const { xM, zM, looks, look, fromS, durationS } = spec;
  const figure = bystander(look);
  const place = (p: Vec3): Vec3 => inScene(layout, xM + looks * p[0], p[1], zM + p[2]);
  const hand: Vec3 = [(spec.handXM - xM) * looks, spec.handYM, 0];
  const wayS = 0.5;
  const share = (tS: number) =>
    smooth((tS - fromS + wayS) / wayS) * (1 - smooth((tS - fromS - durationS) / wayS));
  const at = inScene(layout, xM, look.heightM / 2, zM);
  return {
    z: zM,
    draw(pen, tS) {
      floorShadow(pen, [at[0], 0, zM], 0.32, 0.16, 0.6);
      paintBody(pen, figure, reachPose(look, hand, share(tS)), place);
    },
    reach: () => [
      { at, aroundM: look.heightM / 2 + 0.1 },
      { at: inScene(layout, spec.handXM, spec.handYM, zM), aroundM: 0.2 },
    ],
    speedMps: (tS) => (Math.abs(share(tS + 0.005) - share(tS - 0.005)) / 0.01) * 0.8,
  };
}

/** What somebody carries, metres from his middle forward and from his hands down and up. */
export const carried = {
  box: { fromM: 0.1, toM: 0.62, belowM: 0.14, aboveM: 0.42, colour: '#a9865c' },
  mat: { fromM: -0.55, toM: 0.75, belowM: 0.7, aboveM: 0.75, colour: '#3a4a63' },
} as const;
/** From its middle toward the camera and away from it, metres. */
export const carriedHalfDepthM = 0.3;

function walker(spec: WalkerSpec, layout: Layout): Crosser {
  const { xM, atS, zM, speedMps, look, carries } = spec;
  const figure = bystander(look);
  const way = Math.sign(speedMps) || 1;
  const walkedM = (tS: number) => Math.abs(speedMps) * (tS - atS);
  const placeAt = (tS: number) => {
    const x = xM + way * walkedM(tS);
    return (p: Vec3): Vec3 => inScene(layout, x + way * p[0], p[1], zM + p[2]);
  };
  return {
    z: zM + carriedHalfDepthM,
    draw(pen, tS) {
      const place = placeAt(tS);
      const pose = walkPose(look, walkedM(tS), Math.abs(speedMps), carries ? 'carry' : 'swing');
      for (const side of [pose.far, pose.near])
        floorShadow(pen, place([side.ankle[0] + 0.05, 0, side.ankle[2]]), 0.2, 0.1, 0.5);
      paintBody(pen, figure, pose, place);
      if (!carries) return;
      const { fromM, toM, belowM, aboveM, colour } = carried[carries];
      const [ax, bx] = [place([fromM, 0, 0])[0], place([toM, 0, 0])[0]];
      const y = pose.near.hand[1];
      box(
        pen,
        {
          x: [Math.min(ax, bx), Math.max(ax, bx)],
          y: [y - belowM, y + aboveM],
          z: [zM - carriedHalfDepthM, zM + carriedHalfDepthM],
        },
        colour,
      );
    },
    reach: (tS) => [
      {
        at: placeAt(tS)([0.15, look.heightM / 2, 0]),
        aroundM: look.heightM / 2 + (carries === 'mat' ? 0.5 : 0.12),
      },
    ],
    speedMps: () => Math.abs(speedMps),
  };
}
