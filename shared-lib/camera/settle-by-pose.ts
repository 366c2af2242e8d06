import type { CameraPose, LensBow } from '../contract/trace.ts';
import { solveInPlace } from '../picture/small-solve.ts';
import { withinReach } from '../picture/rim-edges.ts';
import type { DiscView } from '../trace/disc-views.ts';
import type { Position } from '../trace/fuse-positions.ts';
import { edgesOf, outlinesOn, rays, type DiscEdges, type DiscOutline } from './disc-outline.ts';
import { putBack, type DrawnOut } from './drawn-out.ts';
import { straightenAll, straightened } from './lens-bow.ts';
import { rimOfConic, type Plane } from './pinhole.ts';
import { placeFace, type FaceSeen } from './place-face.ts';
import { nudged, ofShape, pullsOnCentre, pullsOnShape, type NudgedOutlines } from './settle-pulls.ts';

/** Where the near face's centre lies in one view. */
export interface SettledCentre {
  /** From the ring's centre as it was followed, displayed pixels. */
  dxPx: number;
  dyPx: number;
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
  /** Share of the rays on which the disc's outline shows. */
  shown: number;
  /** How much of the outline and the rings shows in each eighth of the disc, from the right clockwise: edges per ray, each by how well it lies on its curve. */
  shownIn: readonly number[];
  /** How much taller than the pose has it the disc is drawn, as a share, and by how much of its width its right side hangs down; NaN where too little shows. */
  stretch: number;
  shear: number;
  /** The same by the face, in the same unit, where a face was given and is seen. */
  face?: Position | null;
}

export interface SettleOptions {
  picture: { widthPx: number; heightPx: number };
  bow?: LensBow | undefined;
  /** How far the picture is smeared by motion during the exposure, at most. */
  smearXPx: number;
  smearYPx: number;
  /** The face to be found as well, and how far the disc has turned in this view. */
  face?: FaceSeen | undefined;
  turnRad?: number | undefined;
  /** How the disc is drawn out of shape in this view, as far as that is known beforehand. */
  drawnOut?: DrawnOut | undefined;
}

/** Narrower and narrower kernels, as shares of the radius; steps with each. */
const kernels = [0.04, 0.015, 0.01] as const;
const steps = 3;
const leastKernelPx = 0.8;
/** A step shorter than this changes nothing that a picture tells, px; with a broader kernel than the last, nothing that counts. */
const settledPx = 1e-3;
const nearPx = 0.05;
/** Rays that start within this of where they would start find the same edges, px. */
const sameRaysPx = 0.2;
/** Neighbouring rays see one edge with one flaw: so many count as one (measured on rendered clips). */
const raysPerIndependent = 4;
/** No edge is placed more surely than this, px (measured on rendered clips). */
const floorPx = 0.03;
/** A further step than this from where the disc was looked for, as a share of the radius, is no settling. */
const furthest = 0.25;

/**
 * The near face's centre in one view, with the camera's pose known: the disc's near rim, the far edge of its side and the
 * rings on its face are drawn where the pose puts them for a centre, and the centre moves until the edges of the picture
 * lie on them. An outline fitted without a pose takes face and side together, and the more of the side is seen, which
 * changes along the path, the further its middle lies from the face's.
 *
 * @param view with its ring in pixels of the first frame, as `steadied` gives it
 */
export function settleByPose(view: DiscView, pose: CameraPose, options: SettleOptions): SettledCentre | null {
  const { picture, bow, smearXPx, smearYPx, drawnOut = inNoWay } = options;
  const [ringX, ringY] = straightened(bow, picture, view.ring.xPx, view.ring.yPx);
  const plane: Plane = { normal: pose.normal, distanceM: pose.distanceRadii };
  const rings = pose.rings.map(({ share, outRadii }) => ({ share, outM: outRadii }));
  const outlines = outlinesOn(pose, plane, 1, pose.thicknessRadii, rings);
  const outlineAt = (xPx: number, yPx: number): DiscOutline => outlines({ xPx, yPx });
  const [image] = withinReach([view.image]);
  let x = ringX + pose.offset.dxPx;
  let y = ringY + pose.offset.dyPx;
  const radiusPx = view.ring.aPx;
  let found = null as ReturnType<typeof step> | null;
  let edges: DiscEdges | null = null;
  let lookedFrom = { x, y };
  for (const [k, kernel] of kernels.entries()) {
    const kernelPx = Math.max(leastKernelPx, kernel * radiusPx);
    const enoughPx = k < kernels.length - 1 ? nearPx : settledPx;
    if (!edges || Math.hypot(x - lookedFrom.x, y - lookedFrom.y) > sameRaysPx) {
      edges = edgesRound(x, y);
      lookedFrom = { x, y };
    }
    for (let n = 0; n < steps; n++) {
      found = step(inShape(edges, x, y), nudged(outlineAt, x, y), kernelPx);
      if (!found) return null;
      x += found.dx;
      y += found.dy;
      if (found.dx * found.dx + found.dy * found.dy < enoughPx * enoughPx) break;
    }
  }
  if (!found) return null;
  const away = Math.hypot(x - ringX - pose.offset.dxPx, y - ringY - pose.offset.dyPx);
  if (away > furthest * radiusPx) return null;
  const { varX, varY, cov, shown, shownIn } = found;
  const [dxPx, dyPx] = [x - ringX, y - ringY];
  const lastKernelPx = Math.max(leastKernelPx, kernels[kernels.length - 1] * radiusPx);
  const left = shapeOf(inShape(edges!, x, y), nudged(outlineAt, x, y), x, y, lastKernelPx);
  const centre = { xPx: view.ring.xPx + dxPx, yPx: view.ring.yPx + dyPx };
  const face = options.face
    ? placeFace({ ...view, image }, pose, centre, options.face, options.turnRad ?? 0, options)
    : null;
  return {
    dxPx,
    dyPx,
    varXPx2: varX + floorPx * floorPx,
    varYPx2: varY + floorPx * floorPx,
    covXYPx2: cov,
    shown,
    shownIn,
    stretch: left.stretch + drawnOut.yy - drawnOut.xx,
    shear: left.shear + drawnOut.yx,
    face: face && { ...face, xPx: face.xPx - view.ring.xPx, yPx: face.yPx - view.ring.yPx },
  };

  function inShape(edges: DiscEdges, xPx: number, yPx: number): DiscEdges {
    return options.drawnOut ? putBack(edges, drawnOut, { xPx, yPx }) : edges;
  }

  /** Edges as a straight lens shows them, from rays across the near rim about a centre. */
  function edgesRound(xPx: number, yPx: number): DiscEdges {
    const { near, far } = outlineAt(xPx, yPx);
    const rim = rimOfConic(near);
    const side = rimOfConic(far);
    const reach = (Math.hypot(side.xPx - rim.xPx, side.yPx - rim.yPx) + side.aPx) / rim.aPx;
    const bent = { ...rim, xPx: rim.xPx + view.ring.xPx - ringX, yPx: rim.yPx + view.ring.yPx - ringY };
    const edges = edgesOf({ ...view, image }, bent, { smearXPx, smearYPx }, reach);
    straightenAll(bow, picture, edges);
    return edges;
  }
}

/** One reweighted Gauss-Newton step of the centre; null where too little shows to move by. */
function step(edges: DiscEdges, curves: NudgedOutlines, kernelPx: number) {
  const { xx, xy, yy, bx, by, squares, weights, shown, shownIn } = pullsOnCentre(edges, curves, kernelPx);
  const det = xx * yy - xy * xy;
  if (!(det > 1e-6 * (xx + yy) ** 2)) return null;
  const variance = (raysPerIndependent * squares) / weights;
  return {
    dx: (yy * bx - xy * by) / det,
    dy: (xx * by - xy * bx) / det,
    varX: (variance * yy) / det,
    varY: (variance * xx) / det,
    cov: (-variance * xy) / det,
    shown: shown / rays,
    shownIn,
  };
}

const shapeRounds = 3;
const noShape = { stretch: NaN, shear: NaN };
const inNoWay: DrawnOut = { xx: 0, xy: 0, yx: 0, yy: 0 };

/**
 * How the disc is drawn out of the shape that the pose gives it, about a centre: its size and its place are fitted beside stretch and
 * shear, so that they do not pass for them. Edges are put back by what was found so far and matched again, since the weights of such as
 * lie off their curves draw the first answer toward none.
 */
function shapeOf(
  edges: DiscEdges,
  curves: NudgedOutlines,
  xPx: number,
  yPx: number,
  kernelPx: number,
): typeof noShape {
  const drawn = new Float64Array(ofShape);
  for (let round = 0; round < shapeRounds; round++) {
    const [right, down, growth, stretch, shear] = drawn;
    const gradient = { xx: growth, xy: 0, yx: shear, yy: growth + stretch };
    const back = putBack(edges, gradient, { xPx, yPx }, { right, down });
    const { normal, moments } = pullsOnShape(back, curves, kernelPx, xPx, yPx);
    if (!solveInPlace(normal, moments)) return noShape;
    for (let a = 0; a < ofShape; a++) drawn[a] += moments[a];
  }
  return { stretch: drawn[3], shear: drawn[4] };
}
