import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from './grey-image.ts';

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
 * Light from luma: lenses and shutters blur light, and a film codes it by about its square root, so that the middle
 * of a blurred edge lies toward its dark side in luma. Found in luma, the rim of a dark disc came out 0.15 to 0.45
 * pixels too small on rendered clips; in light, 0.03. Black is at 16, as in nearly all films.
 */
const lightOf = Float32Array.from({ length: 256 }, (_, luma) => Math.max(0, luma - 16) ** 2);

/**
 * Looks for the rim's edge along rays. The step at a point is the mean of a stretch outside minus that of a
 * stretch inside; the stretch is as long as the smear along that ray may be, so that the edge of a
 * motion-blurred rim is found at the middle of its ramp, where the rim was at mid-exposure. Edges are told
 * from noise in luma, where noise is about even, and placed in light.
 */
export function findRimEdges(image: GreyImage, rim: Rim, options: RimEdgeOptions): RimEdges {
  const { rays, searchPx } = options;
  const edges: RimEdges = {
    rays,
    centre: { xPx: rim.xPx, yPx: rim.yPx },
    xPx: new Float64Array(rays),
    yPx: new Float64Array(rays),
    nx: new Float64Array(rays),
    ny: new Float64Array(rays),
    offsetPx: new Float64Array(rays * candidatesPerRay).fill(NaN),
    step: new Float64Array(rays * candidatesPerRay),
    inner: new Float64Array(rays * candidatesPerRay),
    inside: new Uint8Array(rays),
    insideCount: 0,
  };
  const cosT = Math.cos(rim.thetaRad);
  const sinT = Math.sin(rim.thetaRad);
  const widest = Math.max(2, Math.round(0.25 * rim.bPx));
  const reach = Math.ceil(searchPx);
  const length = 2 * (reach + widest) + 5;
  const work = { luma: new Float64Array(length), light: new Float64Array(length) };
  const response = new Float64Array(2 * reach + 3);

  for (let i = 0; i < rays; i++) {
    // A ray keeps its direction in the picture, whichever way the axes of a nearly round rim point.
    const phi = (2 * Math.PI * i) / rays - rim.thetaRad;
    const c = Math.cos(phi);
    const s = Math.sin(phi);
    const ex = rim.aPx * c;
    const ey = rim.bPx * s;
    const px = rim.xPx + cosT * ex - sinT * ey;
    const py = rim.yPx + sinT * ex + cosT * ey;
    const gx = rim.bPx * c;
    const gy = rim.aPx * s;
    const norm = Math.hypot(gx, gy);
    const nx = (cosT * gx - sinT * gy) / norm;
    const ny = (sinT * gx + cosT * gy) / norm;
    edges.xPx[i] = px;
    edges.yPx[i] = py;
    edges.nx[i] = nx;
    edges.ny[i] = ny;

    const smear = Math.abs(nx * options.smearXPx + ny * options.smearYPx);
    const half = Math.min(widest, Math.max(2, Math.round(0.6 * smear)));
    edgesOnRay(image, px, py, nx, ny, reach, half, options.minStep, work, response, edges, i);
  }
  return edges;
}

/** Fills the candidates of one ray; `work` (sums of samples along the ray) and `response` are work space. */
function edgesOnRay(
  image: GreyImage,
  px: number,
  py: number,
  nx: number,
  ny: number,
  reach: number,
  half: number,
  minStep: number,
  work: { luma: Float64Array; light: Float64Array },
  response: Float64Array,
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
  if (
    endX < 0 ||
    endX > maxX ||
    farX < 0 ||
    farX > maxX ||
    endY < 0 ||
    endY > maxY ||
    farY < 0 ||
    farY > maxY
  )
    return;
  edges.inside[ray] = 1;
  edges.insideCount++;

  // luma[j] = sum of the first j samples; sample j lies at distance from + j.
  const { luma, light } = work;
  let sum = 0;
  let lightSum = 0;
  let x = endX;
  let y = endY;
  const total = Math.min(count, luma.length - 1);
  luma[0] = 0;
  light[0] = 0;
  for (let j = 0; j < total; j++) {
    const x0 = x | 0;
    const y0 = y | 0;
    const fx = x - x0;
    const fy = y - y0;
    const at = y0 * width + x0;
    const nw = data[at];
    const ne = data[at + 1];
    const sw = data[at + width];
    const se = data[at + width + 1];
    const top = nw + fx * (ne - nw);
    sum += top + fy * (sw + fx * (se - sw) - top);
    luma[j + 1] = sum;
    const topLight = lightOf[nw] + fx * (lightOf[ne] - lightOf[nw]);
    lightSum += topLight + fy * (lightOf[sw] + fx * (lightOf[se] - lightOf[sw]) - topLight);
    light[j + 1] = lightSum;
    x += nx;
    y += ny;
  }
  // Between samples m - 1 and m lies distance from + m - 0.5; the step there compares `half` samples each way.
  const first = half;
  const responses = 2 * reach + 3;
  for (let r = 0; r < responses; r++) {
    const m = first + r;
    response[r] = m + half <= total ? (luma[m + half] - 2 * luma[m] + luma[m - half]) / half : 0;
  }
  for (let r = 1; r < responses - 1; r++) {
    const size = Math.abs(response[r]);
    const before = Math.abs(response[r - 1]);
    const after = Math.abs(response[r + 1]);
    if (size < minStep || size < before || size <= after) continue;
    const at = placeInLight(light, first + r, half, total, Math.sign(response[r]));
    const m = first + r;
    keepStrongest(edges, ray, from + at - 0.5, response[r], (luma[m] - luma[m - half]) / half);
  }
}

/** Where the step in light is greatest, climbing from where it is in luma; between samples by a parabola. */
function placeInLight(light: Float64Array, from: number, half: number, total: number, sign: number): number {
  const step = (m: number): number =>
    m >= half && m + half <= total ? sign * (light[m + half] - 2 * light[m] + light[m - half]) : -Infinity;
  let m = from;
  while (Math.abs(m - from) < half && step(m + 1) > step(m)) m++;
  while (Math.abs(m - from) < half && step(m - 1) > step(m)) m--;
  const bend = step(m - 1) - 2 * step(m) + step(m + 1);
  const shift = bend < 0 ? (0.5 * (step(m - 1) - step(m + 1))) / bend : 0;
  return m + (Math.abs(shift) <= 0.5 ? shift : 0);
}

function keepStrongest(edges: RimEdges, ray: number, offsetPx: number, step: number, inner: number): void {
  const first = ray * candidatesPerRay;
  let at = first;
  const end = first + candidatesPerRay;
  while (at < end && Math.abs(edges.step[at]) >= Math.abs(step)) at++;
  if (at === end) return;
  for (const values of [edges.offsetPx, edges.step, edges.inner]) values.copyWithin(at + 1, at, end - 1);
  edges.offsetPx[at] = offsetPx;
  edges.step[at] = step;
  edges.inner[at] = inner;
}
