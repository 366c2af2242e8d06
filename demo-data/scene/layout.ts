import type { DiscSpec, SceneSpec } from './spec.ts';
import type { BarState } from '../motion/stage.ts';
import type { Vec3 } from './vec.ts';

/** Half the bar's length between its inner collars, and the whole bar's half length: 1.31 m and 2.2 m bars by rule. */
export const collarHalfM = 0.655;
export const barHalfM = 1.1;
export const barRadiusM = 0.0145;
export const sleeveRadiusM = 0.025;

export interface PlacedDisc {
  disc: DiscSpec;
  /** Distance of the near and the far face from the near face of the ruler, positive toward the viewer. */
  nearM: number;
  farM: number;
  isRuler: boolean;
}

export interface Layout {
  /** Discs of the near end, from the collar outward; z is 0 at the ruler's near face. */
  discs: PlacedDisc[];
  ruler: DiscSpec;
  /** z of the bar's middle, of the near inner collar and of the near sleeve's end. */
  middleZ: number;
  collarZ: number;
  sleeveEndZ: number;
  /** +1 when the lifter faces right in the picture, -1 left. */
  facingSign: 1 | -1;
}

export function layoutOf(spec: SceneSpec): Layout {
  const largest = Math.max(...spec.discs.map((d) => d.diameterM));
  const rulerAt = spec.discs.map((d) => d.diameterM === largest).lastIndexOf(true);
  const toRuler = spec.discs.slice(0, rulerAt + 1).reduce((sum, d) => sum + d.thicknessM, 0);
  const collarZ = -toRuler;
  let z = collarZ;
  const discs = spec.discs.map((disc, i) => {
    const farM = z;
    z += disc.thicknessM;
    return { disc, farM, nearM: z, isRuler: i === rulerAt };
  });
  return {
    discs,
    ruler: spec.discs[rulerAt],
    middleZ: collarZ - collarHalfM,
    collarZ,
    sleeveEndZ: collarZ - collarHalfM + barHalfM,
    facingSign: spec.facing === 'right' ? 1 : -1,
  };
}

/** A point of the bar plane, x forward and y up, at a depth, as a point of the scene. */
export const inScene = (layout: Layout, xM: number, yM: number, zM: number): Vec3 => [
  layout.facingSign * xM,
  yM,
  zM,
];

/** Centre of the ruler's near face. */
export const rulerCentre = (layout: Layout, state: Pick<BarState, 'xM' | 'yM' | 'zM'>): Vec3 =>
  inScene(layout, state.xM, state.yM, state.zM ?? 0);
