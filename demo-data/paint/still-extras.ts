import type { ExtraSpec, LoadedBarSpec, MirrorSpec } from '../scene/extra-spec.ts';
import { inScene, sleeveRadiusM, type Layout } from '../scene/layout.ts';
import type { GymSpec } from '../scene/spec.ts';
import { boxProp, discProp, type Prop } from './prop.ts';

/** How far a mirror's glass stands out from the wall. */
const glassM = 0.02;

/** z of a mirror's glass. */
export const glassZ = (gym: GymSpec): number => -gym.wallBehindM + glassM;

/** Props of the extras that never move. */
export function stillExtras(
  extras: readonly ExtraSpec[],
  layout: Layout,
  gym: GymSpec,
  seed: number,
): Prop[] {
  return extras.flatMap((extra, i) => {
    if (extra.kind === 'loaded bar') return loadedBar(extra, layout, gym, seed + 300 + 10 * i);
    if (extra.kind === 'mirror') return [mirror(extra, layout, gym)];
    return [];
  });
}

/** Brightness of what stands behind the lifter, against the lifter's own. */
const farther = 0.7;

function loadedBar({ xM, yM, zM, discs }: LoadedBarSpec, layout: Layout, gym: GymSpec, seed: number): Prop[] {
  const [x] = inScene(layout, xM, 0, 0);
  const thicknessM = discs.reduce((sum, disc) => sum + disc.thicknessM, 0);
  let z = zM - thicknessM;
  const collarZ = z;
  const loaded = discs.map((disc, i) => {
    z += disc.thicknessM;
    return discProp(disc, [x, yM, z], seed + i, [0, 0, 1], farther);
  });
  const bar = (from: number, to: number, halfM: number): Prop =>
    boxProp({ x: [x - halfM, x + halfM], y: [yM - halfM, yM + halfM], z: [from, to] }, '#9a9ca0', farther);
  const post: Prop = boxProp(
    { x: [x - 0.04, x + 0.04], y: [0, yM + 0.25], z: [collarZ - 0.3, collarZ - 0.22] },
    gym.rackColour,
    farther,
  );
  return [post, bar(collarZ - 0.8, collarZ, 0.015), ...loaded, bar(zM, zM + 0.25, sleeveRadiusM)];
}

const mirror = ({ xM, widthM, bottomM, topM }: MirrorSpec, layout: Layout, gym: GymSpec): Prop => {
  const [x] = inScene(layout, xM, 0, 0);
  const z = glassZ(gym);
  return boxProp(
    { x: [x - widthM / 2, x + widthM / 2], y: [bottomM, topM], z: [z - glassM, z] },
    '#8e9aa0',
    0.8,
  );
};
