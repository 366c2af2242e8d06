import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { candidatesPerRay, findRimEdges } from '../picture/rim-edges.ts';

/**
 * Counts, over many pictures, at which multiples of a followed ring's size edges lie round it. Scenery goes by
 * as the disc moves; what belongs to the disc stays at its own multiple, however faint it is in any one picture.
 */
export interface RingCensus {
  /** Rays with an edge in each bin. */
  votes: Float64Array;
  /** Rays looked along at each bin. */
  looked: Float64Array;
}

const least = 0.98;
const most = 1.62;
const bin = 0.0025;
const bins = Math.round((most - least) / bin);
const rays = 64;
const minStep = 3;
/** Rings that the rays start from, as multiples, and how far they look both ways. */
const bands = [1.06, 1.2, 1.34, 1.48] as const;
const reach = 0.085;
/** Edges this far apart still belong to one rim: blur, run-out and the disc's thickness, as a multiple. */
const spread = 0.0125;
/** A rim shows an edge on at least this share of its rays on average: measured on rendered clips. */
const leastShare = 0.33;
/** Nearer than this a second edge is the rim's own bevel or its shadow. */
const nearest = 1.03;
/** Fewer rays than this (some ten pictures) are no census. */
const fewestRays = 10 * rays;

export const emptyCensus = (): RingCensus => ({
  votes: new Float64Array(bins),
  looked: new Float64Array(bins),
});

/** Adds one picture to the census; the ring is where it was measured in this picture. */
export function countRings(census: RingCensus, image: GreyImage, ring: Rim): void {
  for (const band of bands) {
    const around: Rim = { ...ring, aPx: ring.aPx * band, bPx: ring.bPx * band };
    const edges = findRimEdges(image, around, {
      rays,
      searchPx: reach * ring.aPx,
      smearXPx: 0,
      smearYPx: 0,
      minStep,
    });
    for (let i = 0; i < rays; i++) {
      if (edges.inside[i] === 0) continue;
      const support = edges.nx[i] * (edges.xPx[i] - ring.xPx) + edges.ny[i] * (edges.yPx[i] - ring.yPx);
      const from = binOf(band * (1 - (0.9 * reach * ring.aPx) / support));
      const to = binOf(band * (1 + (0.9 * reach * ring.aPx) / support));
      for (let k = Math.max(0, from); k <= Math.min(bins - 1, to); k++) census.looked[k]++;
      for (let k = i * candidatesPerRay; k < (i + 1) * candidatesPerRay; k++) {
        const at = binOf(band * (1 + edges.offsetPx[k] / support));
        if (at >= Math.max(0, from) && at <= Math.min(bins - 1, to)) census.votes[at]++;
      }
    }
  }
}

const binOf = (multiple: number): number => Math.round((multiple - least) / bin);

/**
 * The disc's rim as a multiple of the followed ring: the outermost multiple at which edges stay. 1 where the
 * ring itself is the rim.
 */
export function outermostRing({ votes, looked }: RingCensus): number {
  const half = Math.round(spread / bin);
  const share = (at: number): number => {
    let sum = 0;
    let rays = 0;
    for (let k = at - half; k <= at + half; k++) {
      sum += votes[k];
      rays = Math.max(rays, looked[k]);
    }
    return rays >= fewestRays ? sum / rays : 0;
  };
  for (let at = bins - 1 - half; at >= Math.max(half, binOf(nearest)); at--) {
    if (share(at) < leastShare) continue;
    // Climb to the top of this hill, then take its centre of gravity.
    let top = at;
    while (top > half + 1 && share(top - 1) > share(top)) top--;
    let weight = 0;
    let moment = 0;
    for (let k = top - half; k <= top + half; k++) {
      weight += votes[k];
      moment += votes[k] * (least + k * bin);
    }
    const multiple = moment / weight;
    return multiple >= nearest ? multiple : 1;
  }
  return 1;
}
