import type { GreyImage } from './grey-image.ts';

/** What the edges of a picture vote for; lasts until the next picture's are looked at. */
export interface EdgeVotes {
  width: number;
  /** Of each pixel as a circle's centre, and of those beside it. */
  votes: Float32Array;
  /** Pixels that have more than those round them. */
  peaks: ArrayLike<number>;
  /** How many edges lie across a line from a centre, by their distance from it in pixels, each shared out between two; lasts until the next. */
  binsRound: (x: number, y: number) => Float32Array;
}

/** What kernels/edge-votes.ts exports, as WebAssembly sees it. */
interface EdgeVotesExports {
  memory: { buffer: ArrayBuffer };
  edgeVotesMost(): number;
  edgeVotesMostBins(): number;
  edgeVotesImageAt(): number;
  edgeVotesBeforeAt(): number;
  edgeVotesFieldAt(): number;
  edgeVotesPeaksAt(): number;
  edgeVotesBinsAt(): number;
  edgeVotesEdges(width: number, height: number, hasBefore: number): number;
  edgeVotesCast(width: number, height: number, edges: number, minR: number, maxR: number): number;
  edgeVotesBins(edges: number, x: number, y: number, minR: number, maxR: number, bins: number): void;
}

let kernel: EdgeVotesExports | null = null;

/** Has compiled code look for edges and count their votes from now on, with the same result to the bit; the plain code again with null. */
export function useEdgeVotesKernel(exports: unknown): void {
  kernel = exports as EdgeVotesExports | null;
}

/**
 * Edge pixels of a reduced picture vote for centres along their gradient, both ways.
 *
 * @param before the same scenery a moment ago, as large: only edges that were not there then vote
 * @param minR, maxR radii of the circles, pixels
 */
export const edgeVotes = (
  image: GreyImage,
  before: GreyImage | undefined,
  minR: number,
  maxR: number,
): EdgeVotes =>
  (kernel && voteCompiled(kernel, image, before, minR, maxR)) ?? votePlainly(image, before, minR, maxR);

const binsOf = (maxR: number): number => Math.ceil(maxR) + 3;

function voteCompiled(
  wasm: EdgeVotesExports,
  { width, height, data }: GreyImage,
  before: GreyImage | undefined,
  minR: number,
  maxR: number,
): EdgeVotes | null {
  const { buffer } = wasm.memory;
  const count = binsOf(maxR);
  if (data.length > wasm.edgeVotesMost() || count > wasm.edgeVotesMostBins()) return null;
  new Uint8Array(buffer, wasm.edgeVotesImageAt(), data.length).set(data);
  if (before) new Uint8Array(buffer, wasm.edgeVotesBeforeAt(), data.length).set(before.data);
  const edges = wasm.edgeVotesEdges(width, height, before ? 1 : 0);
  const peaks = wasm.edgeVotesCast(width, height, edges, minR, maxR);
  const bins = new Float32Array(buffer, wasm.edgeVotesBinsAt(), count);
  return {
    width,
    votes: new Float32Array(buffer, wasm.edgeVotesFieldAt(), data.length),
    peaks: new Int32Array(buffer, wasm.edgeVotesPeaksAt(), peaks),
    binsRound: (x, y) => {
      wasm.edgeVotesBins(edges, x, y, minR, maxR, count);
      return bins;
    },
  };
}

function votePlainly(image: GreyImage, before: GreyImage | undefined, minR: number, maxR: number): EdgeVotes {
  const { width, height } = image;
  const edges = edgePixels(image, before);
  const cast = new Float32Array(width * height);
  castVotes(edges, minR, maxR, width, height, cast);
  const votes = boxSum(cast, width, height, 2);
  return {
    width,
    votes,
    peaks: peaksOf(votes, width, height),
    binsRound: (x, y) => {
      const bins = new Float32Array(binsOf(maxR));
      fillBins(edges, x, y, minR, maxR, bins);
      return bins;
    },
  };
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
  const least = sameEdge * sameEdge * (x * x + y * y);
  for (let dy = -width; dy <= width; dy += width) {
    for (let dx = -1; dx <= 1; dx++) {
      const awayX = gx[at + dx + dy] - x;
      const awayY = gy[at + dx + dy] - y;
      if (awayX * awayX + awayY * awayY < least) return false;
    }
  }
  return true;
}

/** Each edge votes for the centres that lie across it, both ways. */
function castVotes(
  { x, y, ux, uy, size }: EdgePixels,
  minR: number,
  maxR: number,
  width: number,
  height: number,
  votes: Float32Array,
): void {
  // A circle has edge pixels in proportion to its radius; without this, large circles would always win.
  const roots: number[] = [];
  for (let r = minR; r <= maxR; r += 1) roots.push(Math.sqrt(r));
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
