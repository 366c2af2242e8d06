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
 * motion-blurred rim is found at the middle of its ramp, where the rim was at mid-exposure.
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
    inside: new Uint8Array(rays),
    insideCount: 0,
  };
  const cosT = Math.cos(rim.thetaRad);
  const sinT = Math.sin(rim.thetaRad);
  const widest = Math.max(2, Math.round(0.25 * rim.bPx));
  const reach = Math.ceil(searchPx);
  const cumulative = new Float64Array(2 * (reach + widest) + 5);
  const response = new Float64Array(2 * reach + 3);

  for (let i = 0; i < rays; i++) {
    const phi = (2 * Math.PI * i) / rays;
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
    edgesOnRay(image, px, py, nx, ny, reach, half, options.minStep, cumulative, response, edges, i);
  }
  return edges;
}

/** Fills the candidates of one ray; `cumulative` and `response` are work space. */
function edgesOnRay(
  image: GreyImage,
  px: number,
  py: number,
  nx: number,
  ny: number,
  reach: number,
  half: number,
  minStep: number,
  cumulative: Float64Array,
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

  // cumulative[j] = sum of the first j samples; sample j lies at distance from + j.
  let sum = 0;
  let x = endX;
  let y = endY;
  const total = Math.min(count, cumulative.length - 1);
  cumulative[0] = 0;
  for (let j = 0; j < total; j++) {
    const x0 = x | 0;
    const y0 = y | 0;
    const fx = x - x0;
    const fy = y - y0;
    const at = y0 * width + x0;
    const top = data[at] + fx * (data[at + 1] - data[at]);
    const bottom = data[at + width] + fx * (data[at + width + 1] - data[at + width]);
    sum += top + fy * (bottom - top);
    cumulative[j + 1] = sum;
    x += nx;
    y += ny;
  }
  // Between samples m - 1 and m lies distance from + m - 0.5; the step there compares `half` samples each way.
  const first = half;
  const responses = 2 * reach + 3;
  for (let r = 0; r < responses; r++) {
    const m = first + r;
    response[r] =
      m + half <= total ? (cumulative[m + half] - 2 * cumulative[m] + cumulative[m - half]) / half : 0;
  }
  for (let r = 1; r < responses - 1; r++) {
    const size = Math.abs(response[r]);
    const before = Math.abs(response[r - 1]);
    const after = Math.abs(response[r + 1]);
    if (size < minStep || size < before || size <= after) continue;
    const bend = before - 2 * size + after;
    const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
    keepStrongest(edges, ray, from + first + r - 0.5 + shift, response[r]);
  }
}

function keepStrongest(edges: RimEdges, ray: number, offsetPx: number, step: number): void {
  let at = ray * candidatesPerRay;
  const end = at + candidatesPerRay;
  let offset = offsetPx;
  let size = step;
  for (; at < end; at++) {
    if (Number.isNaN(edges.offsetPx[at]) || Math.abs(size) > Math.abs(edges.step[at])) {
      const oldOffset = edges.offsetPx[at];
      const oldStep = edges.step[at];
      edges.offsetPx[at] = offset;
      edges.step[at] = size;
      if (Number.isNaN(oldOffset)) return;
      offset = oldOffset;
      size = oldStep;
    }
  }
}
