import type { Rim } from '../contract/trace.ts';
import { fitEllipse } from './ellipse-fit.ts';
import {
  multipleAt,
  polarAngles,
  polarCosine,
  polarEdges,
  polarRadii,
  polarSine,
  polarStep,
  radiusOf,
  type PolarEdge,
  type PolarMean,
} from './polar-mean.ts';

/** A ring that the mean picture of a followed disc shows, its centre relative to the followed one, pixels. */
interface MeanRing {
  rim: Rim;
  /** Share of the rays that meet an edge on it. */
  share: number;
  /** Share of its eighths in which a good part of the rays do. */
  spread: number;
}

/** Shapes looked for: axis ratio and the lean of the longer axis off upright; square to 45 degrees off square. */
const shapes: readonly (readonly [ratio: number, leanRad: number])[] = [
  [1, 0],
  ...[0.95, 0.9, 0.85, 0.8, 0.75, 0.7].flatMap((ratio) =>
    [0, -0.3, 0.3].map((lean) => [ratio, lean] as const),
  ),
];
/** How far off the followed centre, as shares of the radius. */
const shifts = [-0.06, -0.04, -0.02, 0, 0.02, 0.04, 0.06];
/** Edges this far off still speak for a ring, relative to its radius; and at least this many pixels. */
const coarse = { share: 0.02, px: 1.2 };
const fine = { share: 0.01, px: 0.8 };
/** Below this agreement is chance. */
const leastShare = 0.42;

/** The rings of a followed disc, smallest first: ellipses near the followed centre that edges lie on all round. */
function ringsIn(mean: PolarMean): MeanRing[] {
  const edges = polarEdges(mean);
  const near = nearness(edges, mean.unitPx, coarse);
  const best = bestShapes(near);
  const rings: MeanRing[] = [];
  for (let k = 2; k < polarRadii - 2; k++) {
    const { score } = best[k];
    if (score < leastShare * 0.8) continue;
    if ([-2, -1, 1, 2].some((d) => best[k + d].score > score)) continue;
    const ring = settled(edges, mean.unitPx, best[k].rim(multipleAt(k) * mean.unitPx));
    if (!ring || ring.share < leastShare) continue;
    const twin = rings.findIndex(
      (r) => Math.abs(r.rim.aPx / ring.rim.aPx - 1) < 0.02 && Math.abs(r.rim.bPx / ring.rim.bPx - 1) < 0.02,
    );
    if (twin < 0) rings.push(ring);
    else if (ring.share > rings[twin].share) rings[twin] = ring;
  }
  return rings.sort((a, b) => a.rim.aPx * a.rim.bPx - b.rim.aPx * b.rim.bPx);
}

/** A rim shows on this share of the rays and in this share of the eighths; other outlines that move along show on fewer: measured on rendered clips. */
const rimShare = 0.66;
const rimSpread = 0.75;
/** Fewer pictures than this are no mean. */
const fewestPictures = 10;
/** Nearer than this a second ring is the rim's own bevel, or the disc's side. */
const nearestMultiple = 1.03;

/** The outermost full ring as a multiple of the followed one in size; 1 where the followed ring is the rim. */
export function outermostMultiple(mean: PolarMean, followed: Rim): number {
  if (mean.pictures < fewestPictures) return 1;
  const outer = ringsIn(mean)
    .filter((ring) => ring.share >= rimShare && ring.spread >= rimSpread)
    .at(-1);
  const multiple = outer ? outer.rim.aPx / followed.aPx : 1;
  return multiple >= nearestMultiple ? multiple : 1;
}

/** How near each cell is to an edge of its ray, 0 to 1; rays that end count as no edge. */
function nearness(edges: PolarEdge[][], unitPx: number, gate: typeof coarse): Float32Array {
  const near = new Float32Array(polarAngles * polarRadii);
  edges.forEach((list, i) => {
    for (const { multiple } of list) {
      const at = radiusOf(multiple);
      const reach = Math.max(gate.share, gate.px / (multiple * unitPx)) / polarStep;
      for (let k = Math.max(0, Math.ceil(at - reach)); k <= Math.min(polarRadii - 1, at + reach); k++) {
        const u = (k - at) / reach;
        near[i * polarRadii + k] = Math.max(near[i * polarRadii + k], 1 - u * u);
      }
    }
  });
  return near;
}

interface Shaped {
  score: number;
  rim: (aPx: number) => Rim;
}

/** For each radius of the longer axis the shape and shift that most edges agree with. */
function bestShapes(near: Float32Array): Shaped[] {
  // What is best so far changes a hundred thousand times: as numbers, and made into outlines once.
  const tried: Rim[] = [{ xPx: 0, yPx: 0, aPx: 1, bPx: 1, thetaRad: Math.PI / 2 }];
  const best = new Uint16Array(polarRadii);
  const bestScore = new Float64Array(polarRadii);
  const scores = new Float32Array(polarRadii);
  for (const [ratio, lean] of shapes) {
    for (const dx of shifts) {
      for (const dy of shifts) {
        const unit: Rim = { xPx: dx, yPx: dy, aPx: 1, bPx: ratio, thetaRad: Math.PI / 2 + lean };
        tried.push(unit);
        scores.fill(0);
        for (let i = 0; i < polarAngles; i += 2)
          addShifted(scores, near, i * polarRadii, Math.round(Math.log(reachOf(unit, i)) / polarStep));
        // Round and centred is likelier than not: a shape of its own must earn its place.
        const price = 1 - (0.03 * (1 - ratio)) / 0.1 - (0.02 * Math.hypot(dx, dy)) / 0.04;
        keepBetter(bestScore, best, scores, price, tried.length - 1);
      }
    }
  }
  return Array.from(best, (which, k) => {
    const { xPx, yPx, bPx, thetaRad } = tried[which];
    return {
      score: bestScore[k],
      rim: (aPx) => ({ xPx: xPx * aPx, yPx: yPx * aPx, aPx, bPx: bPx * aPx, thetaRad }),
    };
  });
}

/** Adds a ray's row of `near`, which begins at `row`, moved by so many radii. By itself, as is `keepBetter`: it is compiled once for all. */
function addShifted(scores: Float32Array, near: Float32Array, row: number, offset: number): void {
  const from = Math.max(0, -offset);
  const to = Math.min(polarRadii, polarRadii - offset);
  for (let k = from; k < to; k++) scores[k] += near[row + k + offset];
}

function keepBetter(
  bestScore: Float64Array,
  best: Uint16Array,
  scores: Float32Array,
  price: number,
  which: number,
): void {
  for (let k = 0; k < polarRadii; k++) {
    const score = (price * scores[k]) / (polarAngles / 2);
    if (!(score > bestScore[k])) continue;
    bestScore[k] = score;
    best[k] = which;
  }
}

/** Distance from the origin to an ellipse round it along ray `i`. */
function reachOf(rim: Rim, i: number): number {
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const ux = (c * polarCosine(i) + s * polarSine(i)) / rim.aPx;
  const uy = (-s * polarCosine(i) + c * polarSine(i)) / rim.bPx;
  const ox = (c * rim.xPx + s * rim.yPx) / rim.aPx;
  const oy = (-s * rim.xPx + c * rim.yPx) / rim.bPx;
  const uu = ux * ux + uy * uy;
  const uo = ux * ox + uy * oy;
  return (uo + Math.sqrt(Math.max(0, uo * uo - uu * (ox * ox + oy * oy - 1)))) / uu;
}

/** The edge of each ray that lies nearest to the ellipse within the gate, as its distance from the origin; NaN for none. */
function edgesNear(edges: PolarEdge[][], unitPx: number, rim: Rim, gate: typeof coarse): number[] {
  return edges.map((list, i) => {
    const reach = reachOf(rim, i);
    let nearest = NaN;
    let least = Math.max(gate.share * reach, gate.px);
    for (const { multiple } of list) {
      const apart = Math.abs(multiple * unitPx - reach);
      if (apart < least) {
        least = apart;
        nearest = multiple * unitPx;
      }
    }
    return nearest;
  });
}

/** Least squares through the edges near a rough ellipse, again and again with a narrower gate. */
function settled(edges: PolarEdge[][], unitPx: number, rough: Rim): MeanRing | null {
  let rim = rough;
  for (const k of [1.5, 1.2, 1, 0.8, 0.6]) {
    const gate = { share: k * coarse.share, px: k * coarse.px };
    const radii = edgesNear(edges, unitPx, rim, gate);
    const xs: number[] = [];
    const ys: number[] = [];
    radii.forEach((r, i) => {
      if (Number.isNaN(r)) return;
      xs.push(r * polarCosine(i));
      ys.push(r * polarSine(i));
    });
    if (xs.length < 0.3 * polarAngles) return null;
    const fitted = fitEllipse(xs, ys);
    if (!fitted || fitted.bPx < 0.62 * fitted.aPx) return null;
    if (
      Math.abs(fitted.aPx / rough.aPx - 1) > 0.1 ||
      Math.hypot(fitted.xPx - rough.xPx, fitted.yPx - rough.yPx) > 0.08 * rough.aPx
    )
      return null;
    rim = fitted;
  }
  return { rim, ...supportOf(edges, unitPx, rim) };
}

/** How much of an ellipse edges lie on. */
function supportOf(edges: PolarEdge[][], unitPx: number, rim: Rim): { share: number; spread: number } {
  const met = edgesNear(edges, unitPx, rim, fine).map((r) => (Number.isNaN(r) ? 0 : 1));
  const eighths = 8;
  const per = polarAngles / eighths;
  let filled = 0;
  for (let e = 0; e < eighths; e++) {
    let sum = 0;
    for (let i = e * per; i < (e + 1) * per; i++) sum += met[i];
    if (sum >= 0.35 * per) filled++;
  }
  return { share: met.reduce((a: number, b) => a + b, 0) / polarAngles, spread: filled / eighths };
}
