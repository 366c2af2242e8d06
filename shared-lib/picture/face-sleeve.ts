import { mean, median } from 'd3-array';
import { sigmaPerMedian } from '../motion/statistics.ts';

/** Directions and radii of a face in which a sleeve is looked for. */
const directions = 48;
const radii = 24;

/** What stands out of a face differs from its median by so many robust sigmas, and grey levels. Set by judgement. */
const standsOutSigmas = 6;
const standsOutLevels = 12;
/** Where it does in more of the directions than this it is the face's own; set by judgement. */
const widest = 1 / 3;
/** Nor does a sleeve hide more of a face than this; set by judgement. */
const mostHidden = 0.12;
/** The median and the spread are taken from one point of so many. */
const everyPoint = 4;
/** Share of a cell's points that stand out where the sleeve is seen; set by judgement. */
const leastOfCell = 0.4;

/** The cell of direction and radius that each point of a face lies in, with the radii from which and to which it is looked at. */
export function cellsOf(
  u: Float32Array,
  v: Float32Array,
  [inner, outer]: readonly [number, number],
): Uint16Array {
  return Uint16Array.from(u, (du, i) => {
    const turn = Math.atan2(v[i], du) / (2 * Math.PI) + 0.5;
    const share = (Math.hypot(du, v[i]) - inner) / (outer - inner);
    const direction = Math.min(directions - 1, Math.floor(turn * directions));
    return direction * radii + Math.max(0, Math.min(radii - 1, Math.floor(share * radii)));
  });
}

/** Tells which levels stand out of a face. @param grey at its points */
export function standsOut(grey: ArrayLike<number>): (level: number) => boolean {
  const count = Math.ceil(grey.length / everyPoint);
  const some = Float64Array.from({ length: count }, (_, i) => grey[everyPoint * i]);
  const middle = median(some)!;
  const spread = sigmaPerMedian * median(some, (level) => Math.abs(level - middle))!;
  const least = Math.max(standsOutLevels, standsOutSigmas * spread);
  return (level) => Math.abs(level - middle) > least;
}

/**
 * The points of a face that the sleeve's end hides: what stands out of the face from its innermost points outward, in some
 * directions only. It stands proud of the disc, moves otherwise under perspective, and is far brighter than a dark face.
 *
 * @param grey at each point, @param cell its cell
 * @returns 1 where it hides a point; null where none is seen
 */
export function sleeveBefore(grey: ArrayLike<number>, cell: Uint16Array): Uint8Array | null {
  const isOut = standsOut(grey);
  const out = new Uint16Array(directions * radii);
  const all = new Uint16Array(directions * radii);
  for (let i = 0; i < cell.length; i++) {
    all[cell[i]]++;
    if (isOut(grey[i])) out[cell[i]]++;
  }
  const reach = Array.from({ length: directions }, (_, direction) => reachOf(direction * radii, out, all));
  const wide = reach.filter((r) => r > 0).length;
  if (wide === 0 || wide > widest * directions) return null;
  // Its edge is blurred.
  const hidden = reach.map((r, k) =>
    Math.max(r, reach[(k + 1) % directions], reach[(k + directions - 1) % directions]),
  );
  const isHidden = Uint8Array.from(cell, (at) => {
    const to = hidden[Math.floor(at / radii)];
    return to > 0 && at % radii <= to ? 1 : 0;
  });
  return mean(isHidden)! <= mostHidden ? isHidden : null;
}

/** How many cells outward from a direction's innermost one stand out; those without a point let it pass. */
function reachOf(first: number, out: Uint16Array, all: Uint16Array): number {
  let [reach, seen] = [0, 0];
  for (let at = first; at < first + radii && out[at] >= leastOfCell * all[at]; at++) {
    reach++;
    seen += out[at];
  }
  return seen > 0 ? reach : 0;
}
