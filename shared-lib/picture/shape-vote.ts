import { candidatesPerRay, type RimEdges } from './rim-edges.ts';
import { stepWeight } from './rim-vote.ts';

/** Shift and growth of an outline, as shares of its radius, and the share of its rays that agree. */
export interface PlaceVote {
  dx: number;
  dy: number;
  ds: number;
  score: number;
}

export interface PlaceVoteOptions {
  /** The radius, px. */
  size: number;
  /** How far to look and in which steps, as shares of the radius. */
  shiftReach: number;
  growthReach: number;
  step: number;
  /** Edges within this of the outline speak for it, as a share of the radius. */
  kernel: number;
}

/** What kernels/shape-vote.ts exports, as WebAssembly sees it. */
interface ShapeVoteExports {
  memory: { buffer: ArrayBuffer };
  shapeVoteAt(): number;
  shapeVote(rays: number, n: number, m: number, step: number, most: number): void;
}

/** As in kernels/shape-vote.ts. */
const mostRays = 96;

interface Ballots {
  nx: Float64Array;
  ny: Float64Array;
  support: Float64Array;
  /** Candidates of each ray, NaN after the last, and their weights. */
  offset: Float64Array;
  weight: Float64Array;
}

let kernel: { wasm: ShapeVoteExports; ballots: Ballots; out: Float64Array } | null = null;

/** Has votes counted by compiled code from now on, with the same result to the bit; by the plain code again with null. */
export function useShapeVoteKernel(exports: unknown): void {
  const wasm = exports as ShapeVoteExports | null;
  if (!wasm) {
    kernel = null;
    return;
  }
  let at = wasm.shapeVoteAt();
  const next = (length: number): Float64Array => {
    const part = new Float64Array(wasm.memory.buffer, at, length);
    at += part.byteLength;
    return part;
  };
  const [nx, ny, support] = [next(mostRays), next(mostRays), next(mostRays)];
  const [offset, weight] = [next(mostRays * candidatesPerRay), next(mostRays * candidatesPerRay)];
  kernel = { wasm, ballots: { nx, ny, support, offset, weight }, out: next(4) };
}

/** The shift and growth of an outline that most edges agree with, exhaustively: edges count nearly alike. */
export function voteForPlace(edges: RimEdges, options: PlaceVoteOptions): PlaceVote {
  const { step } = options;
  const n = Math.round(options.shiftReach / step);
  const m = Math.round(options.growthReach / step);
  const most = Math.max(edges.insideCount, edges.rays / 2);
  if (kernel && edges.rays <= mostRays) {
    const rays = fill(kernel.ballots, edges, options);
    kernel.wasm.shapeVote(rays, n, m, step, most);
    const [dx, dy, ds, score] = kernel.out;
    return { dx, dy, ds, score };
  }
  const column = (perRay: number): Float64Array => new Float64Array(edges.rays * perRay);
  const [nx, ny, support] = [column(1), column(1), column(1)];
  const ballots = { nx, ny, support, offset: column(candidatesPerRay), weight: column(candidatesPerRay) };
  return counted(ballots, fill(ballots, edges, options), n, m, step, most);
}

/** Writes down the rays that met an edge and what each says, in units of the kernel. @returns how many */
function fill(to: Ballots, edges: RimEdges, { size, kernel: kernelShare }: PlaceVoteOptions): number {
  const perKernel = 1 / kernelShare;
  const perKernelPx = perKernel / size;
  let rays = 0;
  for (let i = 0; i < edges.rays; i++) {
    const first = i * candidatesPerRay;
    if (edges.step[first] === 0) continue;
    to.nx[rays] = edges.nx[i] * perKernel;
    to.ny[rays] = edges.ny[i] * perKernel;
    const outX = edges.nx[i] * (edges.xPx[i] - edges.centre.xPx);
    const outY = edges.ny[i] * (edges.yPx[i] - edges.centre.yPx);
    to.support[rays] = ((outX + outY) / size) * perKernel;
    for (let c = 0, k = rays * candidatesPerRay; c < candidatesPerRay; c++, k++) {
      to.offset[k] = edges.offsetPx[first + c] * perKernelPx;
      to.weight[k] = stepWeight(edges.step[first + c]);
    }
    rays++;
  }
  return rays;
}

function counted(
  { nx, ny, support, offset, weight }: Ballots,
  rays: number,
  n: number,
  m: number,
  step: number,
  most: number,
): PlaceVote {
  let best = { dx: 0, dy: 0, ds: 0, score: -1 };
  for (let g = -m; g <= m; g++) {
    const ds = g * step;
    for (let y = -n; y <= n; y++) {
      const dy = y * step;
      for (let x = -n; x <= n; x++) {
        const dx = x * step;
        let sum = 0;
        for (let i = 0, k = 0; i < rays; i++, k += candidatesPerRay) {
          const expected = nx[i] * dx + ny[i] * dy + support[i] * ds;
          let top = 0;
          for (let c = k; c < k + candidatesPerRay; c++) {
            const u = offset[c] - expected;
            if (u !== u) break;
            const v = weight[c] * (1 - u * u);
            if (v > top) top = v;
          }
          sum += top;
        }
        // Of equally good rims the larger: what lies inside it is part of the face.
        const score = (sum / most) * (1 + 0.5 * ds);
        if (score > best.score) best = { dx, dy, ds, score };
      }
    }
  }
  return best;
}
