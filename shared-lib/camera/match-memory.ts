import { rays, type DiscEdges, type DiscOutline } from './disc-outline.ts';
import type { Conic } from './pinhole.ts';

/** What kernels/pose.ts exports of the memory in which kernels/matches.ts tells curves by their edges, as WebAssembly sees it. */
export interface MatchExports {
  memory: { buffer: ArrayBuffer };
  poseEdgesAt(): number;
  poseRaysAt(): number;
  poseCurvesAt(): number;
  mostPosePoints(): number;
  mostPoseCurves(): number;
}

/** Where compiled code finds a view's edges and curves. */
export interface MatchMemory {
  /** Puts edges there; false where they or so many rings do not fit. */
  putEdges: (edges: DiscEdges, rings: number) => boolean;
  /** Puts two outlines there as one of the five pairs of each curve. */
  putPair: (pair: number, one: DiscOutline, other: DiscOutline) => void;
}

/** Of the pairs the one whose both hold the curves themselves, and the one with the centre moved. */
export const pairItself = 3;
export const pairMoved = 2;

/** Of a curve: five pairs of conics, six pairs of coefficients each. */
const perPair = 12;
const perCurve = 5 * perPair;

export function matchMemory(wasm: MatchExports): MatchMemory {
  const { buffer } = wasm.memory;
  const most = wasm.mostPosePoints();
  const mostCurves = wasm.mostPoseCurves();
  const [xPx, yPx, weight] = [0, 1, 2].map(
    (k) => new Float64Array(buffer, wasm.poseEdgesAt() + 8 * k * most, most),
  );
  const first = new Int32Array(buffer, wasm.poseRaysAt(), rays + 1);
  const table = new Float64Array(buffer, wasm.poseCurvesAt(), mostCurves * perCurve);

  const put = ({ a, b, c, d, e, f }: Conic, to: number): void => {
    table[to] = a;
    table[to + 2] = b;
    table[to + 4] = c;
    table[to + 6] = d;
    table[to + 8] = e;
    table[to + 10] = f;
  };
  return {
    putEdges(edges, rings) {
      if (edges.xPx.length > most || rings + 2 > mostCurves) return false;
      xPx.set(edges.xPx);
      yPx.set(edges.yPx);
      weight.set(edges.weight);
      first.set(edges.first);
      return true;
    },
    putPair(pair, one, other) {
      const at = pair * perPair;
      put(one.near, at);
      put(other.near, at + 1);
      put(one.far, perCurve + at);
      put(other.far, perCurve + at + 1);
      for (let r = 0; r < one.rings.length; r++) {
        put(one.rings[r], (r + 2) * perCurve + at);
        put(other.rings[r], (r + 2) * perCurve + at + 1);
      }
    },
  };
}
