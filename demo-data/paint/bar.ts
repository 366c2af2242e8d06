import type { Camera } from '../scene/camera.ts';
import { hang } from '../scene/disc-face.ts';
import { barRadiusM, collarHalfM, sleeveRadiusM, type Layout } from '../scene/layout.ts';
import type { Vec3 } from '../scene/vec.ts';
import { add } from '../scene/vec.ts';
import { linearOf, type Rgb } from './colour.ts';
import { discFace, discOpening, steelFace } from './faces.ts';
import type { Patch } from './patch.ts';
import { limb, type Pen } from './pen.ts';
import { endFrame, paintSolids, type RoundSolid, type RowShift } from './solid.ts';

const steelSide: Rgb = [0.4, 0.41, 0.42];

/** The near end from the collar outward: discs, the clamp that holds them, the sleeve. */
export function nearEnd(layout: Layout, seed: number, turnRad: number): RoundSolid[] {
  const discs = layout.discs.map((placed, i) => {
    const { disc, nearM, farM } = placed;
    return {
      ...hang(placed, turnRad),
      nearM,
      farM,
      radiusM: disc.diameterM / 2,
      face: discFace(disc, seed + i, turnRad),
      opening: discOpening(disc, turnRad),
      side: linearOf(disc.colour).map((c) => c * 0.7) as unknown as Rgb,
    };
  });
  const outside = layout.discs[layout.discs.length - 1].nearM;
  const clamp: Rgb = [0.1, 0.1, 0.11];
  return [
    ...discs,
    { nearM: outside + 0.045, farM: outside, radiusM: 0.041, face: steelFace(0.041, clamp), side: clamp },
    {
      nearM: layout.sleeveEndZ,
      farM: outside + 0.045,
      radiusM: sleeveRadiusM,
      face: steelFace(sleeveRadiusM),
      side: steelSide,
    },
  ];
}

/** The far end, seen from the bar's middle: its inner collar and the backs of its discs, farthest first. */
export function farEnd(layout: Layout, seed: number, turnRad: number): RoundSolid[] {
  const mirror = (z: number) => 2 * layout.middleZ - z;
  const collarZ = mirror(layout.collarZ);
  const discs = layout.discs
    .map(({ disc, nearM, farM }, i) => ({
      nearM: mirror(farM),
      farM: mirror(nearM),
      radiusM: disc.diameterM / 2,
      face: discFace(disc, seed + 40 + i, -turnRad),
      opening: discOpening(disc, -turnRad),
      side: linearOf(disc.colour).map((c) => c * 0.7) as unknown as Rgb,
    }))
    .reverse();
  return [
    ...discs,
    { nearM: collarZ + 0.03, farM: collarZ, radiusM: 0.036, face: steelFace(0.036), side: steelSide },
  ];
}

/** Paints an end of the bar; `shiftAt` says how far it has moved when a row is read, against `centre`. */
export function paintEnd(
  patch: Patch,
  camera: Camera,
  centre: Vec3,
  solids: readonly RoundSolid[],
  shiftAt: RowShift = null,
): void {
  const placed = solids.map((solid) => ({
    frame: endFrame(add(centre, solid.offset ?? [0, 0, 0]), solid.axis),
    solid,
  }));
  paintSolids(patch, camera, placed, shiftAt);
}

/** The shaft from the middle to one inner collar. */
export function paintShaft(pen: Pen, layout: Layout, centre: Vec3, isNear: boolean): void {
  const middle = add(centre, [0, 0, layout.middleZ]);
  const end = add(middle, [0, 0, isNear ? collarHalfM : -collarHalfM]);
  limb(
    pen,
    middle,
    end,
    [0, 1, 0],
    [
      [0, barRadiusM, barRadiusM],
      [1, barRadiusM, barRadiusM],
    ],
    '#9a9ca0',
  );
}
