import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from './grey-image.ts';
import { lightOf } from './light.ts';

export const candidatesPerRay = 4;

/**
 * Edges met on rays that cross the expected rim at right angles. Ray i starts from the rim point
 * (xPx[i], yPx[i]) and runs along the outward normal (nx[i], ny[i]); its candidates are the strongest edges
 * near the rim, at signed distances `offsetPx[i * candidatesPerRay + k]` outward (NaN where there are fewer),
 * with grey-level steps `step` (outside minus inside, signed).
 */
export interface RimEdges {
  rays: number;
  centre: { xPx: number; yPx: number };
  xPx: Float64Array;
  yPx: Float64Array;
  nx: Float64Array;
  ny: Float64Array;
  offsetPx: Float64Array;
  step: Float64Array;
  /** Grey level just inside each candidate: what hides the rim is seldom as bright as the disc. */
  inner: Float64Array;
  /** 1 where the whole ray lies in the picture; a rim may reach over the picture's border. */
  inside: Uint8Array;
  insideCount: number;
}

export interface RimEdgeOptions {
  rays: number;
  /** How far from the expected rim edges are looked for, both ways. */
  searchPx: number;
  /** How far the picture is smeared by motion during the exposure, at most: the bar's shift between frames. */
  smearXPx: number;
  smearYPx: number;
  /** Edges below this step are noise. */
  minStep: number;
}

/**
 * Looks for the rim's edge along rays. The step at a point is the mean of a stretch outside minus that of a
 * stretch inside; the stretch is as long as the smear along that ray may be, so that the edge of a
 * motion-blurred rim is found at the middle of its ramp, where the rim was at mid-exposure. Edges are told
 * from noise in luma, where noise is about even, and placed in light.
 *
 * @param edges of as many rays, where they go
 */
export function findRimEdges(
  image: GreyImage,
  rim: Rim,
  options: RimEdgeOptions,
  edges: RimEdges = noRimEdges(options.rays),
): RimEdges {
  const { rays, searchPx, smearXPx, smearYPx, minStep } = options;
  // Rims come in many shapes to the engine: each of their values is looked up once.
  const { xPx, yPx, aPx, bPx, thetaRad } = rim;
  edges.centre = { xPx, yPx };
  if (compiled?.look(image, edges, xPx, yPx, aPx, bPx, thetaRad, searchPx, smearXPx, smearYPx, minStep))
    return edges;
  const cosT = Math.cos(thetaRad);
  const sinT = Math.sin(thetaRad);
  const widest = Math.max(2, Math.round(0.25 * bPx));
  const { cos, sin, halves } = directionsOf(rays, thetaRad);
  const { xPx: fromX, yPx: fromY, nx, ny } = edges;
  for (let i = 0; i < rays; i++) {
    const c = cos[i];
    const s = sin[i];
    const ex = aPx * c;
    const ey = bPx * s;
    const gx = bPx * c;
    const gy = aPx * s;
    const norm = Math.sqrt(gx * gx + gy * gy);
    fromX[i] = xPx + cosT * ex - sinT * ey;
    fromY[i] = yPx + sinT * ex + cosT * ey;
    nx[i] = (cosT * gx - sinT * gy) / norm;
    ny[i] = (sinT * gx + cosT * gy) / norm;
    const smear = Math.abs(nx[i] * smearXPx + ny[i] * smearYPx);
    halves[i] = Math.min(widest, Math.max(2, Math.round(0.6 * smear)));
  }
  const reach = Math.ceil(searchPx);
  const most = 2 * (reach + widest) + 5;
  makeRoom(most);
  edges.offsetPx.fill(NaN);
  for (const of of [edges.step, edges.inner, edges.inside]) of.fill(0);
  edges.insideCount = 0;
  for (let i = 0; i < rays; i++)
    edgesOnRay(image, fromX[i], fromY[i], nx[i], ny[i], reach, halves[i], minStep, edges, i);
  return edges;
}

/** Room for edges on so many rays, none of which is met. */
export const noRimEdges = (rays: number): RimEdges => ({
  rays,
  centre: { xPx: NaN, yPx: NaN },
  xPx: new Float64Array(rays),
  yPx: new Float64Array(rays),
  nx: new Float64Array(rays),
  ny: new Float64Array(rays),
  offsetPx: new Float64Array(rays * candidatesPerRay).fill(NaN),
  step: new Float64Array(rays * candidatesPerRay),
  inner: new Float64Array(rays * candidatesPerRay),
  inside: new Uint8Array(rays),
  insideCount: 0,
});

interface Directions {
  thetaRad: number;
  cos: Float64Array;
  sin: Float64Array;
  /** Room for over how many samples each ray takes a step. */
  halves: Float64Array;
}

/** The last of each number of rays: several rims in a row are turned the same way. */
const lastDirections = new Map<number, Directions>();

/** Of rays about a rim whose axes are turned. A ray keeps its direction in the picture, whichever way the axes of a nearly round rim point. */
function directionsOf(rays: number, thetaRad: number): Directions {
  const last = lastDirections.get(rays);
  if (last?.thetaRad === thetaRad) return last;
  const [cos, sin, halves] = last
    ? [last.cos, last.sin, last.halves]
    : [new Float64Array(rays), new Float64Array(rays), new Float64Array(rays)];
  for (let i = 0; i < rays; i++) {
    const phi = (2 * Math.PI * i) / rays - thetaRad;
    cos[i] = Math.cos(phi);
    sin[i] = Math.sin(phi);
  }
  const directions = { thetaRad, cos, sin, halves };
  lastDirections.set(rays, directions);
  return directions;
}

/** A rim about which edges are looked for, and how: as `findRimEdges` has them, one number after the other. */
type Look = [
  xPx: number,
  yPx: number,
  aPx: number,
  bPx: number,
  thetaRad: number,
  searchPx: number,
  smearXPx: number,
  smearYPx: number,
  minStep: number,
];

/** What kernels/rim-edges.ts exports, as WebAssembly sees it. */
interface RimExports {
  memory: { buffer: ArrayBuffer };
  rimRaysAt(): number;
  rimEdgesAt(): number;
  rimImageAt(): number;
  mostRimRays(): number;
  mostRimImageBytes(): number;
  rimEdges(
    data: number,
    width: number,
    height: number,
    xPx: number,
    yPx: number,
    aPx: number,
    bPx: number,
    thetaRad: number,
    rays: number,
    searchPx: number,
    smearXPx: number,
    smearYPx: number,
    minStep: number,
  ): number;
}

interface CompiledEdges {
  /** Fills in the edges; false where it cannot. */
  look: (image: GreyImage, edges: RimEdges, ...about: Look) => boolean;
  withinReach: (images: readonly GreyImage[]) => GreyImage[];
}

let compiled: CompiledEdges | null = null;

/** Has compiled code look for edges from now on, with the same result to the bit; the plain code again with null. */
export function useRimKernel(exports: unknown): void {
  const wasm = exports as RimExports | null;
  compiled = wasm && lookCompiled(wasm);
}

/** Pictures where compiled code sees them, until the next are asked for; as they are where there is no such code or no room. */
export const withinReach = (images: readonly GreyImage[]): readonly GreyImage[] =>
  compiled?.withinReach(images) ?? images;

function lookCompiled(wasm: RimExports): CompiledEdges {
  const { buffer } = wasm.memory;
  const most = wasm.mostRimRays();
  const [fromX, fromY, nx, ny] = [0, 1, 2, 3].map(
    (k) => new Float64Array(buffer, wasm.rimRaysAt() + 8 * k * most, most),
  );
  const perEach = most * candidatesPerRay;
  const [offsetPx, step, inner] = [0, 1, 2].map(
    (k) => new Float64Array(buffer, wasm.rimEdgesAt() + 8 * k * perEach, perEach),
  );
  const inside = new Uint8Array(buffer, wasm.rimEdgesAt() + 8 * 3 * perEach, most);
  const room = new Uint8Array(buffer, wasm.rimImageAt(), wasm.mostRimImageBytes());
  return {
    look({ data, width, height }, edges, x, y, a, b, theta, search, smearX, smearY, minStep) {
      const { rays } = edges;
      if (data.buffer !== buffer || rays > most) return false;
      const at = data.byteOffset;
      // prettier-ignore
      const count = wasm.rimEdges(at, width, height, x, y, a, b, theta, rays, search, smearX, smearY, minStep);
      if (count < 0) return false;
      edges.insideCount = count;
      edges.xPx.set(fromX.subarray(0, rays));
      edges.yPx.set(fromY.subarray(0, rays));
      edges.nx.set(nx.subarray(0, rays));
      edges.ny.set(ny.subarray(0, rays));
      const candidates = rays * candidatesPerRay;
      edges.offsetPx.set(offsetPx.subarray(0, candidates));
      edges.step.set(step.subarray(0, candidates));
      edges.inner.set(inner.subarray(0, candidates));
      edges.inside.set(inside.subarray(0, rays));
      return true;
    },
    withinReach(images) {
      let at = 0;
      return images.map((image) => {
        const bytes = image.data.length;
        if (image.data.buffer === buffer || at + bytes > room.length) return image;
        const data = room.subarray(at, at + bytes);
        data.set(image.data);
        at += bytes;
        return { ...image, data };
      });
    },
  };
}

/** Work space, for one ray after the other; never shared between workers. */
let luma = new Float64Array(0);
let light = new Float64Array(0);

function makeRoom(length: number): void {
  if (luma.length >= length) return;
  luma = new Float64Array(length);
  light = new Float64Array(length);
}

/** Fills the candidates of one ray. */
function edgesOnRay(
  image: GreyImage,
  px: number,
  py: number,
  nx: number,
  ny: number,
  reach: number,
  half: number,
  minStep: number,
  edges: RimEdges,
  ray: number,
): void {
  const { width, height, data } = image;
  const from = -(reach + half + 1);
  const count = 2 * (reach + half + 1) + 1;
  const endX = px + from * nx;
  const endY = py + from * ny;
  const farX = px - from * nx;
  const farY = py - from * ny;
  const maxX = width - 2;
  const maxY = height - 2;
  const isInside =
    endX >= 0 &&
    endX <= maxX &&
    farX >= 0 &&
    farX <= maxX &&
    endY >= 0 &&
    endY <= maxY &&
    farY >= 0 &&
    farY <= maxY;
  if (!isInside) return;
  edges.inside[ray] = 1;
  edges.insideCount++;

  // luma[j] = sum of the first j samples; sample j lies at distance from + j.
  let sum = 0;
  let x = endX;
  let y = endY;
  luma[0] = 0;
  for (let j = 1; j <= count; j++) {
    const x0 = x | 0;
    const y0 = y | 0;
    const fx = x - x0;
    const at = y0 * width + x0;
    const nw = data[at];
    const sw = data[at + width];
    const top = nw + fx * (data[at + 1] - nw);
    sum += top + (y - y0) * (sw + fx * (data[at + width + 1] - sw) - top);
    luma[j] = sum;
    x += nx;
    y += ny;
  }
  // Between samples m - 1 and m lies distance from + m - 0.5; the step there compares `half` samples each way.
  let isLit = false;
  let here = (luma[2 * half] - 2 * luma[half] + luma[0]) / half;
  let after = (luma[2 * half + 1] - 2 * luma[half + 1] + luma[1]) / half;
  for (let m = half + 1, end = half + 2 * reach + 2; m < end; m++) {
    const before = here;
    here = after;
    after = (luma[m + 1 + half] - 2 * luma[m + 1] + luma[m + 1 - half]) / half;
    const size = Math.abs(here);
    if (size < minStep || size < Math.abs(before) || size <= Math.abs(after)) continue;
    // Light is looked at only where an edge is met.
    if (!isLit) lightAlong(image, endX, endY, nx, ny, count);
    isLit = true;
    const at = placeInLight(m, half, count, here < 0 ? -1 : 1);
    keepStrongest(edges, ray, from + at - 0.5, here, (luma[m] - luma[m - half]) / half);
  }
}

/** Fills `light` as `luma` is filled. */
function lightAlong(
  { width, data }: GreyImage,
  endX: number,
  endY: number,
  nx: number,
  ny: number,
  count: number,
): void {
  let sum = 0;
  let x = endX;
  let y = endY;
  light[0] = 0;
  for (let j = 1; j <= count; j++) {
    const x0 = x | 0;
    const y0 = y | 0;
    const fx = x - x0;
    const at = y0 * width + x0;
    const nw = lightOf[data[at]];
    const sw = lightOf[data[at + width]];
    const top = nw + fx * (lightOf[data[at + 1]] - nw);
    sum += top + (y - y0) * (sw + fx * (lightOf[data[at + width + 1]] - sw) - top);
    light[j] = sum;
    x += nx;
    y += ny;
  }
}

/** Where the step in light is greatest, climbing from where it is in luma; between samples by a parabola. */
function placeInLight(from: number, half: number, total: number, sign: number): number {
  let m = from;
  let here = stepInLight(m, half, total, sign);
  let after = stepInLight(m + 1, half, total, sign);
  let before = stepInLight(m - 1, half, total, sign);
  while (after > here && m - from < half) {
    m++;
    before = here;
    here = after;
    after = stepInLight(m + 1, half, total, sign);
  }
  while (before > here && from - m < half) {
    m--;
    after = here;
    here = before;
    before = stepInLight(m - 1, half, total, sign);
  }
  const bend = before - 2 * here + after;
  const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
  return m + (shift >= -0.5 && shift <= 0.5 ? shift : 0);
}

function stepInLight(m: number, half: number, total: number, sign: number): number {
  if (m < half || m + half > total) return -Infinity;
  return sign * (light[m + half] - 2 * light[m] + light[m - half]);
}

function keepStrongest(
  { offsetPx, step, inner }: RimEdges,
  ray: number,
  offset: number,
  size: number,
  level: number,
): void {
  const first = ray * candidatesPerRay;
  const end = first + candidatesPerRay;
  let at = end;
  while (at > first && Math.abs(step[at - 1]) < Math.abs(size)) at--;
  if (at === end) return;
  for (let k = end - 1; k > at; k--) {
    offsetPx[k] = offsetPx[k - 1];
    step[k] = step[k - 1];
    inner[k] = inner[k - 1];
  }
  offsetPx[at] = offset;
  step[at] = size;
  inner[at] = level;
}
