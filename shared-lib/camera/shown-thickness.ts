import type { EdgesAbout } from './concentric.ts';
import { rays } from './disc-outline.ts';
import { along, conicOfCircle, distanceFrom, onPlane, type Conic, type Lens, type Plane } from './pinhole.ts';

/** Thicknesses that are asked, metres: from a thin steel disc to all that a sleeve holds (common practice). */
const stepM = 0.01;
const thicknesses = Array.from({ length: 36 }, (_, t) => t * stepM);
/** Nearer to the rim than this an edge is the rim's own, px. */
const leastBeyondPx = 1.5;
const most = 2;

/**
 * How thick the disc may be, with all that is loaded behind it: thicknesses whose far rim meets the most edges beyond the near
 * one. A stack's far rim lies so far out that no small step leads there from a thin disc's.
 *
 * @param plane that of the near face
 * @returns metres, plainest first, two at most
 */
export function shownThicknesses(
  views: readonly EdgesAbout[],
  lens: Lens,
  plane: Plane,
  radiusM: number,
): number[] {
  const shown = new Float64Array(thicknesses.length + 1);
  for (const { edges, centre } of views) {
    const at = onPlane(lens, plane, centre.xPx, centre.yPx);
    const rimAt = (depthM: number): Conic =>
      conicOfCircle(lens, along(at, plane.normal, -depthM), plane.normal, radiusM);
    const near = rimAt(0);
    const far = thicknesses.map(rimAt);
    for (let i = 0; i < rays; i++) {
      // A ray has one outline: several edges of scenery on it are no more evidence than one.
      const onRay = new Float64Array(thicknesses.length);
      for (let k = edges.first[i]; k < edges.first[i + 1]; k++) {
        const [x, y] = [edges.xPx[k], edges.yPx[k]];
        if (distanceFrom(near, x, y) < leastBeyondPx) continue;
        // The edge lies outside the far rims of thin discs and inside those of thick ones.
        const t = far.findIndex((conic) => distanceFrom(conic, x, y) <= 0);
        if (t > 0) onRay[t] = Math.max(onRay[t], edges.weight[k]);
      }
      onRay.forEach((weight, t) => (shown[t] += weight));
    }
  }
  const about = (t: number): number => (shown[t - 1] ?? 0) + shown[t] + (shown[t + 1] ?? 0);
  return thicknesses
    .map((_, t) => t)
    .filter((t) => t > 0 && about(t) > 0 && about(t) >= about(t - 1) && about(t) > about(t + 1))
    .sort((a, b) => about(b) - about(a))
    .slice(0, most)
    .map((t) => thicknesses[t] - stepM / 2);
}
