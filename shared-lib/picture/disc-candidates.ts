import type { Rim } from '../contract/trace.ts';
import { fromReduced, reduceBy, type GreyImage } from './grey-image.ts';
import { beyondChance, outermostRim, refineRim, type DiscCandidate } from './rim-search.ts';

export interface DiscSearch {
  /** Radii looked for, as shares of the picture's longer side. */
  minRadius: number;
  maxRadius: number;
  maxCandidates: number;
  /** The scenery a moment ago, as `reducedForSearch` gives it: only edges that were not there then count. */
  before?: GreyImage;
}

/** Discs of clips worth measuring: 450 mm at least 3 % and at most 45 % of the picture's longer side across. */
export const usualSearch: DiscSearch = { minRadius: 0.018, maxRadius: 0.22, maxCandidates: 8 };

const searchSidePx = 480;
const mostCentres = 16;

/**
 * Rims in one picture, strongest first. Edge pixels of a reduced picture vote for centres along their
 * gradient (a Hough transform over centres, Duda & Hart 1972, with gradient directions, Kimme et al. 1975);
 * at the best centres the radii with the most agreeing edges are taken, then refined to sub-pixel precision
 * on the full picture and kept where a full ellipse can be fitted.
 */
export function findDiscCandidates(image: GreyImage, search: DiscSearch = usualSearch): DiscCandidate[] {
  const factor = searchFactor(image);
  const small = reduceBy(image, factor);
  const longer = Math.max(small.width, small.height);
  const minR = Math.max(5, search.minRadius * longer);
  const maxR = search.maxRadius * longer;
  const edges = edgePixels(small, search.before);
  const centres = votedCentres(small, edges, minR, maxR, mostCentres);
  const found: DiscCandidate[] = [];
  for (const centre of centres) {
    for (const radius of votedRadii(edges, centre, minR, maxR)) {
      const refined = refineRim(image, {
        xPx: fromReduced(centre.x, factor),
        yPx: fromReduced(centre.y, factor),
        aPx: radius * factor,
        bPx: radius * factor,
        thetaRad: 0,
      });
      if (!refined) continue;
      if (!found.some((other) => sameRim(other.rim, refined.rim))) found.push(refined);
    }
  }
  const strongest = found.sort((a, b) => strengthOf(b) - strengthOf(a)).slice(0, search.maxCandidates);
  return withOutermost(image, strongest);
}

const searchFactor = (image: GreyImage): number =>
  Math.max(1, Math.round(Math.max(image.width, image.height) / searchSidePx));

/** A picture at the size in which edges vote for centres. */
export const reducedForSearch = (image: GreyImage): GreyImage => reduceBy(image, searchFactor(image));

/** The candidates and, before each, the rim outside it where there is one. */
function withOutermost(image: GreyImage, candidates: readonly DiscCandidate[]): DiscCandidate[] {
  const all: DiscCandidate[] = [];
  for (const candidate of candidates) {
    for (const one of [outermostRim(image, candidate), candidate]) {
      if (!all.some((other) => sameRim(other.rim, one.rim))) all.push(one);
    }
  }
  return all;
}

/** Orders candidates: agreement beyond chance first, size as a tie-break, since the ruler is the largest disc. */
export const strengthOf = (candidate: DiscCandidate): number =>
  beyondChance(candidate) *
  Math.sqrt(Math.min(1, candidate.contrast / 20)) *
  Math.pow(candidate.rim.aPx, 0.25);

export function sameRim(one: Rim, other: Rim): boolean {
  const size = Math.min(one.aPx, other.aPx);
  return (
    Math.hypot(one.xPx - other.xPx, one.yPx - other.yPx) < 0.15 * size &&
    Math.abs(one.aPx - other.aPx) < 0.06 * size
  );
}

interface EdgePixels {
  x: Float32Array;
  y: Float32Array;
  ux: Float32Array;
  uy: Float32Array;
  size: Float32Array;
}

interface Gradients {
  gx: Float32Array;
  gy: Float32Array;
}

// Loops over whole pictures stand in functions of their own: a picture is searched so seldom that the engine compiles a loop while it
// runs, and throws that away where what comes after it has not run before.

/** Sobel's operator; nothing at the border. */
function gradientsOf(image: GreyImage): Gradients {
  const gx = new Float32Array(image.data.length);
  const gy = new Float32Array(image.data.length);
  fillGradients(image, gx, gy);
  return { gx, gy };
}

function fillGradients({ width, height, data }: GreyImage, gx: Float32Array, gy: Float32Array): void {
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      const nw = data[at - width - 1],
        n = data[at - width],
        ne = data[at - width + 1];
      const w = data[at - 1],
        e = data[at + 1];
      const sw = data[at + width - 1],
        s = data[at + width],
        se = data[at + width + 1];
      gx[at] = (ne + 2 * e + se - nw - 2 * w - sw) / 8;
      gy[at] = (sw + 2 * s + se - nw - 2 * n - ne) / 8;
    }
  }
}

/** Pixels on edges (gradient maxima across the edge) with their unit gradients; with `before`, the ones that are new since. */
function edgePixels(image: GreyImage, before?: GreyImage): EdgePixels {
  const { width, height } = image;
  const { gx, gy } = gradientsOf(image);
  const size = new Float32Array(gx.length);
  fillSizes(gx, gy, size);
  const keep = maximaOf(width, height, gx, gy, size, before && gradientsOf(before));
  const of = (f: (at: number) => number): Float32Array => Float32Array.from(keep, f);
  return {
    x: of((at) => at % width),
    y: of((at) => Math.floor(at / width)),
    ux: of((at) => gx[at] / size[at]),
    uy: of((at) => gy[at] / size[at]),
    size: of((at) => size[at]),
  };
}

function fillSizes(gx: Float32Array, gy: Float32Array, size: Float32Array): void {
  for (let at = 0; at < size.length; at++) size[at] = Math.sqrt(gx[at] * gx[at] + gy[at] * gy[at]);
}

/** Places of the pixels on edges. */
function maximaOf(
  width: number,
  height: number,
  gx: Float32Array,
  gy: Float32Array,
  size: Float32Array,
  was: Gradients | undefined,
): number[] {
  const keep: number[] = [];
  for (let y = 2; y < height - 2; y++) {
    for (let x = 2; x < width - 2; x++) {
      const at = y * width + x;
      const g = size[at];
      if (g < 3) continue;
      const stepX = Math.round(gx[at] / g);
      const stepY = Math.round(gy[at] / g);
      if (!(g >= size[at + stepY * width + stepX] && g > size[at - stepY * width - stepX])) continue;
      if (!was || isNew(gx[at], gy[at], was, at, width)) keep.push(at);
    }
  }
  return keep;
}

/** An edge is the one that was there where it differs by less than this share of itself: set by judgement, not measured. */
const sameEdge = 0.6;

/** Whether an edge was neither here nor right beside here; a hand that holds the camera moves what stands by less. */
function isNew(x: number, y: number, { gx, gy }: Gradients, at: number, width: number): boolean {
  const least = (sameEdge * Math.hypot(x, y)) ** 2;
  for (let dy = -width; dy <= width; dy += width) {
    for (let dx = -1; dx <= 1; dx++) {
      const was = at + dx + dy;
      if ((gx[was] - x) ** 2 + (gy[was] - y) ** 2 < least) return false;
    }
  }
  return true;
}

function votedCentres(
  image: GreyImage,
  edges: EdgePixels,
  minR: number,
  maxR: number,
  count: number,
): { x: number; y: number }[] {
  const { width, height } = image;
  const votes = new Float32Array(width * height);
  // A circle has edge pixels in proportion to its radius; without this, large circles would always win.
  const roots: number[] = [];
  for (let r = minR; r <= maxR; r += 1) roots.push(Math.sqrt(r));
  castVotes(edges, minR, maxR, roots, width, height, votes);
  const smooth = boxSum(votes, width, height, 2);
  const centres: { x: number; y: number }[] = [];
  const apart = Math.max(3, 0.35 * minR);
  const order = peaksOf(smooth, width, height).sort((a, b) => smooth[b] - smooth[a]);
  for (const at of order) {
    const x = at % width;
    const y = Math.floor(at / width);
    if (centres.some((c) => Math.hypot(c.x - x, c.y - y) < apart)) continue;
    centres.push({ x, y });
    if (centres.length >= count) break;
  }
  return centres;
}

/** Each edge votes for the centres that lie across it, both ways. */
function castVotes(
  { x, y, ux, uy, size }: EdgePixels,
  minR: number,
  maxR: number,
  roots: readonly number[],
  width: number,
  height: number,
  votes: Float32Array,
): void {
  for (let i = 0; i < x.length; i++) {
    const weight = Math.min(1, size[i] / 12);
    for (let sign = -1; sign <= 1; sign += 2) {
      for (let r = minR, k = 0; r <= maxR; r += 1, k++) {
        const atX = x[i] + sign * r * ux[i] + 0.5;
        const atY = y[i] + sign * r * uy[i] + 0.5;
        if (atX < 0 || atY < 0 || atX >= width || atY >= height) break;
        votes[(atY | 0) * width + (atX | 0)] += weight / roots[k];
      }
    }
  }
}

function peaksOf(field: Float32Array, width: number, height: number): number[] {
  const peaks: number[] = [];
  for (let at = 0; at < field.length; at++)
    if (field[at] > 0 && isPeak(field, width, height, at)) peaks.push(at);
  return peaks;
}

function isPeak(field: Float32Array, width: number, height: number, at: number): boolean {
  const x = at % width;
  const y = Math.floor(at / width);
  if (x < 1 || y < 1 || x >= width - 1 || y >= height - 1) return false;
  const v = field[at];
  for (let j = -1; j <= 1; j++) {
    for (let i = -1; i <= 1; i++) if (field[at + j * width + i] > v) return false;
  }
  return true;
}

function boxSum(field: Float32Array, width: number, height: number, radius: number): Float32Array {
  const rows = new Float32Array(field.length);
  const out = new Float32Array(field.length);
  sumAlong(field, height, width, width, 1, radius, rows);
  sumAlong(rows, width, height, 1, width, radius, out);
  return out;
}

/**
 * Sums of each value and its neighbours along its line.
 * @param toLine, toNext from a line's first value to the next line's, and from one value to the next
 */
function sumAlong(
  field: Float32Array,
  lines: number,
  length: number,
  toLine: number,
  toNext: number,
  radius: number,
  out: Float32Array,
): void {
  for (let line = 0; line < lines; line++) {
    for (let x = 0; x < length; x++) {
      let sum = 0;
      const last = Math.min(length - 1, x + radius);
      for (let i = Math.max(0, x - radius); i <= last; i++) sum += field[line * toLine + i * toNext];
      out[line * toLine + x * toNext] = sum;
    }
  }
}

/** Counts edges that lie across a line from the centre, by their distance from it. */
function fillBins(
  { x, y, ux, uy }: EdgePixels,
  centreX: number,
  centreY: number,
  minR: number,
  maxR: number,
  bins: Float32Array,
): void {
  for (let i = 0; i < x.length; i++) {
    const dx = x[i] - centreX;
    const dy = y[i] - centreY;
    const r = Math.sqrt(dx * dx + dy * dy);
    if (r < minR - 1 || r > maxR + 1) continue;
    const radial = Math.abs(dx * ux[i] + dy * uy[i]) / r;
    if (radial < 0.94) continue;
    const at = r | 0;
    const share = r - at;
    bins[at] += 1 - share;
    bins[at + 1] += share;
  }
}

/** The radii at which edges around a centre agree best, at most three, best first. */
function votedRadii(
  edges: EdgePixels,
  centre: { x: number; y: number },
  minR: number,
  maxR: number,
): number[] {
  const bins = new Float32Array(Math.ceil(maxR) + 3);
  fillBins(edges, centre.x, centre.y, minR, maxR, bins);
  const scored: { r: number; score: number }[] = [];
  for (let r = Math.ceil(minR); r < bins.length - 2; r++) {
    const three = bins[r - 1] + bins[r] + bins[r + 1];
    scored.push({ r, score: three / (2 * Math.PI * r) });
  }
  scored.sort((a, b) => b.score - a.score);
  const radii: number[] = [];
  const isNew = (r: number): boolean =>
    radii.every((other) => Math.abs(other - r) >= Math.max(2, 0.07 * other));
  for (const { r, score } of scored) {
    if (score < 0.25 || radii.length >= 3) break;
    if (isNew(r)) radii.push(r);
  }
  // The rim may be fainter than rings on its face: the largest with some agreement too.
  const largest = scored
    .filter(({ score }) => score > 0.4)
    .reduce((a, b) => (b.r > a.r ? b : a), { r: 0, score: 0 });
  if (largest.r > 0 && isNew(largest.r)) radii.push(largest.r);
  return radii;
}
