import { candidatesPerRay, findRimEdges } from '../picture/rim-edges.ts';
import type { Rim } from '../contract/trace.ts';
import type { DiscView } from '../trace/disc-views.ts';
import { along, circlesFacing, distanceFrom, onPlane, type Conic, type Lens, type Plane } from './pinhole.ts';

/** Edge points on rays from the disc's middle outward, displayed pixels; ray i's points are first[i] to first[i + 1]. */
export interface DiscEdges {
  xPx: number[];
  yPx: number[];
  /** 0 to 1: how plain the step is. */
  weight: number[];
  first: number[];
  /** Points per pixel of a ray, on average. */
  densityPerPx: number;
}

/** A circle on the face, concentric with the rim: its radius as a share of the disc's, and how far it stands out, metres. */
export interface FaceRing {
  share: number;
  outM: number;
}

/** A disc of a thickness as it is seen: its near face's rim and, behind it, its far face's, and rings on the face. */
export interface DiscOutline {
  near: Conic;
  far: Conic;
  rings: Conic[];
}

export function outlineOf(
  lens: Lens,
  plane: Plane,
  centre: { xPx: number; yPx: number },
  radiusM: number,
  thicknessM: number,
  rings: readonly FaceRing[],
): DiscOutline {
  const at = onPlane(lens, plane, centre.xPx, centre.yPx);
  const conicOf = circlesFacing(lens, plane.normal);
  const circle = (outM: number, share: number): Conic =>
    conicOf(along(at, plane.normal, outM), share * radiusM);
  return {
    near: circle(0, 1),
    far: circle(-thicknessM, 1),
    rings: rings.map((ring) => circle(ring.outM, ring.share)),
  };
}

export const rays = 72;
const minStep = 4;
const fullStep = 16;
/** Bands of rays that together reach from the hub to beyond the rim, as shares of its radius, and half their width. */
const bands = [0.38, 0.62, 0.86, 1.06] as const;
const halfBand = 0.12;

/** Edges on the face and round the rim of one view: in bands, so that plain markings do not take the places of others. */
export function edgesOf(view: DiscView, rim: Rim, smear = { smearXPx: 0, smearYPx: 0 }): DiscEdges {
  const local = { ...rim, xPx: rim.xPx - view.x0Px, yPx: rim.yPx - view.y0Px };
  const searchPx = halfBand * rim.aPx;
  const found = bands.map((band) =>
    findRimEdges(
      view.image,
      { ...local, aPx: band * rim.aPx, bPx: band * rim.bPx },
      { rays, searchPx, ...smear, minStep },
    ),
  );
  const edges: DiscEdges = { xPx: [], yPx: [], weight: [], first: [], densityPerPx: 1 };
  for (let i = 0; i < rays; i++) {
    edges.first.push(edges.xPx.length);
    for (const band of found)
      for (let k = i * candidatesPerRay; k < (i + 1) * candidatesPerRay; k++) {
        const offset = band.offsetPx[k];
        if (Number.isNaN(offset)) continue;
        edges.xPx.push(band.xPx[i] + offset * band.nx[i] + view.x0Px);
        edges.yPx.push(band.yPx[i] + offset * band.ny[i] + view.y0Px);
        edges.weight.push(Math.min(1, Math.abs(band.step[k]) / fullStep));
      }
  }
  edges.first.push(edges.xPx.length);
  edges.densityPerPx = Math.max(1, edges.xPx.length) / (rays * bands.length * 2 * searchPx);
  return edges;
}

/** Which curve of the outline a point was matched to: the near rim, the far rim, or a ring by its number from 0. */
export type Curve = 'near' | 'far' | number;

/** A ray's point on one curve; `point` is -1 where the curve should show and does not. */
export interface Match {
  point: number;
  curve: Curve;
  /** Whether the curve is the disc's outline against what is behind it. */
  isOutline: boolean;
}

/** A side that shows less than this is no second edge, px. */
const leastSidePx = 1.5;

/** Nearness of a residual to 0: 1 at 0, less than 0.02 beyond 2.8 kernels. */
export const likeness = (residualPx: number, kernelPx: number): number =>
  Math.exp(-0.5 * (residualPx / kernelPx) ** 2);

/** For each ray the point that shows the outline, the one that shows the near rim before the disc's side, and one for each ring. */
export function matchEdges(edges: DiscEdges, { near, far, rings }: DiscOutline, kernelPx: number): Match[] {
  const matches: Match[] = [];
  // Squared residuals beyond which a point is no evidence.
  const reach = (2.8 * kernelPx) ** 2;
  const most = new Float64Array(2 + rings.length);
  for (let i = 0; i < rays; i++) {
    const outline: Match = { point: -1, curve: 'near', isOutline: true };
    const inner: Match = { point: -1, curve: 'near', isOutline: false };
    const others: Match[] = [];
    for (let r = 0; r < rings.length; r++) others.push({ point: -1, curve: r, isOutline: false });
    most.fill(0.02);
    let sideSeen = false;
    for (let k = edges.first[i]; k < edges.first[i + 1]; k++) {
      const x = edges.xPx[k];
      const y = edges.yPx[k];
      const toNear = distanceFrom(near, x, y);
      const toFar = distanceFrom(far, x, y);
      const outside = Math.min(toNear, toFar);
      if (outside * outside < reach) {
        const likely = edges.weight[k] * likeness(outside, kernelPx);
        if (likely > most[0]) {
          most[0] = likely;
          outline.point = k;
          outline.curve = toFar < toNear ? 'far' : 'near';
        }
      }
      for (let r = 0; r < rings.length; r++) {
        const toRing = distanceFrom(rings[r], x, y);
        if (toRing * toRing >= reach) continue;
        const likely = edges.weight[k] * likeness(toRing, kernelPx);
        if (likely <= most[2 + r]) continue;
        most[2 + r] = likely;
        others[r].point = k;
      }
      if (toFar > toNear - leastSidePx) continue;
      sideSeen = true;
      const likely = edges.weight[k] * likeness(toNear, kernelPx);
      if (likely <= most[1]) continue;
      most[1] = likely;
      inner.point = k;
    }
    if (sideSeen) others.unshift(inner);
    matches.push(outline);
    // A point is evidence for one curve only.
    for (const match of others) {
      for (let m = matches.length - 1; m >= 0 && matches[m] !== outline; m--)
        if (matches[m].point === match.point) match.point = -1;
      if (match.point === outline.point) match.point = -1;
      matches.push(match);
    }
  }
  return matches;
}
