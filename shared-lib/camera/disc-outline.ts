import { candidatesPerRay, findRimEdges, type RimEdges } from '../picture/rim-edges.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import type { Rim } from '../contract/trace.ts';
import type { DiscView } from '../trace/disc-views.ts';
import { bandEdges } from './band-edges.ts';
import { along, circlesFacing, distanceFrom, onPlane, type Conic, type Lens, type Plane } from './pinhole.ts';

/** Edge points on rays from the disc's middle outward, displayed pixels; ray i's points are first[i] to first[i + 1]. */
export interface DiscEdges {
  xPx: Float64Array;
  yPx: Float64Array;
  /** 0 to 1: how plain the step is. */
  weight: Float64Array;
  first: Int32Array;
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

/** A disc's curves as they are seen, for any centre of its near face. */
export function outlinesOn(
  lens: Lens,
  plane: Plane,
  radiusM: number,
  thicknessM: number,
  rings: readonly FaceRing[],
): (centre: { xPx: number; yPx: number }) => DiscOutline {
  const conicOf = circlesFacing(lens, plane.normal);
  return ({ xPx, yPx }) => {
    const at = onPlane(lens, plane, xPx, yPx);
    const circle = (outM: number, share: number): Conic =>
      conicOf(along(at, plane.normal, outM), share * radiusM);
    return {
      near: circle(0, 1),
      far: circle(-thicknessM, 1),
      rings: rings.map((ring) => circle(ring.outM, ring.share)),
    };
  };
}

export const rays = 72;
const minStep = 4;
const fullStep = 16;
/** Bands of rays that together reach from the hub to the far rim of a stack seen obliquely, as shares of the radius, and half their width: no rim lies near the end of its band. */
const bands = [0.38, 0.62, 0.86, 1.06, 1.3] as const;
const halfBand = 0.12;

/** Work space, for one view after the other; never shared between workers. */
const bandRoom: RimEdges[] = [];
const mostEdges = rays * bands.length * candidatesPerRay;
const edgeRoom = [
  new Float64Array(mostEdges),
  new Float64Array(mostEdges),
  new Float64Array(mostEdges),
] as const;

/**
 * Edges on the face and round the rim of one view: in bands, so that plain markings do not take the places of others.
 *
 * @param reach how far the disc's outline reaches, as a multiple of the rim's radius: edges are looked for so far out at least
 */
export function edgesOf(
  { image, x0Px, y0Px }: DiscView,
  rim: Rim,
  smear = { smearXPx: 0, smearYPx: 0 },
  reach = Infinity,
): DiscEdges {
  // Views and rims come in many shapes to the engine: what they hold is looked up once.
  const { xPx, yPx, aPx, bPx, thetaRad } = rim;
  const at = { xPx: xPx - x0Px, yPx: yPx - y0Px, aPx, bPx, thetaRad };
  const { smearXPx, smearYPx } = smear;
  let looked = 0;
  while (looked < bands.length && (bands[looked] < 1 || bands[looked] - halfBand < reach)) looked++;
  const {
    xPx: x,
    yPx: y,
    weight,
    first,
  } = inBandsCompiled(image, at, looked, smearXPx, smearYPx, x0Px, y0Px) ??
  inBandsPlainly(image, at, looked, smearXPx, smearYPx, x0Px, y0Px);
  const densityPerPx = Math.max(1, x.length) / (rays * looked * 2 * (halfBand * aPx));
  return { xPx: x, yPx: y, weight, first, densityPerPx };
}

type FoundEdges = Omit<DiscEdges, 'densityPerPx'>;

function inBandsCompiled(
  image: GreyImage,
  { xPx, yPx, aPx, bPx, thetaRad }: Rim,
  looked: number,
  smearXPx: number,
  smearYPx: number,
  x0Px: number,
  y0Px: number,
): FoundEdges | null {
  const compiled = bandEdges();
  if (!compiled) return null;
  const searchPx = halfBand * aPx;
  for (let k = 0; k < looked; k++) {
    const [a, b] = [bands[k] * aPx, bands[k] * bPx];
    if (!compiled.look(k, image, xPx, yPx, a, b, thetaRad, searchPx, smearXPx, smearYPx, minStep))
      return null;
  }
  return compiled.gather(looked, x0Px, y0Px, fullStep);
}

function inBandsPlainly(
  image: GreyImage,
  rim: Rim,
  looked: number,
  smearXPx: number,
  smearYPx: number,
  x0Px: number,
  y0Px: number,
): FoundEdges {
  const options = { rays, searchPx: halfBand * rim.aPx, smearXPx, smearYPx, minStep };
  for (let k = 0; k < looked; k++) {
    const band = { ...rim, aPx: bands[k] * rim.aPx, bPx: bands[k] * rim.bPx };
    bandRoom[k] = findRimEdges(image, band, options, bandRoom[k]);
  }
  const [xPx, yPx, weight] = edgeRoom;
  const first = new Int32Array(rays + 1);
  let count = 0;
  for (let i = 0; i < rays; i++) {
    for (let b = 0; b < looked; b++) count = addEdges(bandRoom[b], i, count, x0Px, y0Px);
    first[i + 1] = count;
  }
  return { xPx: xPx.slice(0, count), yPx: yPx.slice(0, count), weight: weight.slice(0, count), first };
}

/** Puts a ray's edges after the `count` that are there. @returns how many there are then */
function addEdges(
  { offsetPx, step, xPx, yPx, nx, ny }: RimEdges,
  ray: number,
  count: number,
  x0Px: number,
  y0Px: number,
): number {
  const [toX, toY, weight] = edgeRoom;
  for (let k = ray * candidatesPerRay; k < (ray + 1) * candidatesPerRay; k++) {
    const offset = offsetPx[k];
    if (Number.isNaN(offset)) continue;
    toX[count] = xPx[ray] + offset * nx[ray] + x0Px;
    toY[count] = yPx[ray] + offset * ny[ray] + y0Px;
    weight[count++] = Math.min(1, Math.abs(step[k]) / fullStep);
  }
  return count;
}

/** Which curve of the outline a point was matched to: the near rim, the far rim, or a ring by its number from 0. */
export type Curve = 'near' | 'far' | number;

export const curveOf = (outline: DiscOutline, curve: Curve): Conic =>
  typeof curve === 'number' ? outline.rings[curve] : outline[curve];

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

/** Work space, for one view after the other; never shared between workers. */
const room: Match[] = [];
const matches: Match[] = [];

/**
 * For each ray the point that shows the outline, the one that shows the near rim before the disc's side, and one for each ring.
 * The next call writes over what this one gives: poses are fitted with millions of matches.
 */
export function matchEdges(
  edges: DiscEdges,
  { near, far, rings }: DiscOutline,
  kernelPx: number,
): readonly Match[] {
  // Squared residuals beyond which a point is no evidence.
  const reach = (2.8 * kernelPx) ** 2;
  const most = new Float64Array(rings.length);
  const ringPoint = new Int32Array(rings.length);
  let count = 0;
  for (let i = 0; i < rays; i++) {
    const outline = matchAt(count++, -1, 'near', true);
    let inner = -1;
    let mostOutline = leastLikely;
    let mostInner = leastLikely;
    most.fill(leastLikely);
    ringPoint.fill(-1);
    let sideSeen = false;
    for (let k = edges.first[i]; k < edges.first[i + 1]; k++) {
      const x = edges.xPx[k];
      const y = edges.yPx[k];
      const weight = edges.weight[k];
      const toNear = distanceFrom(near, x, y);
      const toFar = distanceFrom(far, x, y);
      const outside = Math.min(toNear, toFar);
      if (outside * outside < reach) {
        const likely = weight * likeness(outside, kernelPx);
        if (likely > mostOutline) {
          mostOutline = likely;
          outline.point = k;
          outline.curve = toFar < toNear ? 'far' : 'near';
        }
      }
      for (let r = 0; r < rings.length; r++) {
        const toRing = distanceFrom(rings[r], x, y);
        if (toRing * toRing >= reach) continue;
        const likely = weight * likeness(toRing, kernelPx);
        if (likely <= most[r]) continue;
        most[r] = likely;
        ringPoint[r] = k;
      }
      if (toFar > toNear - leastSidePx) continue;
      sideSeen = true;
      if (toNear * toNear >= reach) continue;
      const likely = weight * likeness(toNear, kernelPx);
      if (likely <= mostInner) continue;
      mostInner = likely;
      inner = k;
    }
    // A point is evidence for one curve only.
    const first = count - 1;
    if (sideSeen) count = matchUntaken(first, count, inner, 'near');
    for (let r = 0; r < rings.length; r++) count = matchUntaken(first, count, ringPoint[r], r);
  }
  matches.length = count;
  for (let m = 0; m < count; m++) matches[m] = room[m];
  return matches;
}

/** Likelihoods up to this are none. */
const leastLikely = 0.02;

/** The match after those of its ray, which begin at `first`; without its point where one of them has it. @returns the next's place */
function matchUntaken(first: number, at: number, point: number, curve: Curve): number {
  let free = point;
  for (let m = first; m < at; m++) if (room[m].point === point) free = -1;
  matchAt(at, free, curve, false);
  return at + 1;
}

function matchAt(at: number, point: number, curve: Curve, isOutline: boolean): Match {
  const match = (room[at] ??= { point, curve, isOutline });
  match.point = point;
  match.curve = curve;
  match.isOutline = isOutline;
  return match;
}
