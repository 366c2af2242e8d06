import { median, sigmaPerMedian } from '../motion/statistics.ts';

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

/** The cell that a point lies in, with the radii from which and to which a face is looked at. @param turn its direction, 0 to 1 */
export function cellOf(turn: number, radius: number, inner: number, outer: number): number {
  const direction = Math.min(directions - 1, Math.floor(turn * directions));
  const step = Math.floor(((radius - inner) / (outer - inner)) * radii);
  return direction * radii + Math.max(0, Math.min(radii - 1, step));
}

/** A face's middle level, and by how much more than what differs from it stands out of the face. */
export interface FaceLevels {
  middle: number;
  least: number;
}

/** @param grey at the face's points, of which the first `count` are looked at */
export function levelsOf(grey: ArrayLike<number>, count = grey.length): FaceLevels {
  const n = Math.ceil(count / everyPoint);
  if (some.length < n) some = new Float64Array(n);
  for (let i = 0; i < n; i++) some[i] = grey[everyPoint * i];
  const middle = median(some, n);
  for (let i = 0; i < n; i++) some[i] = Math.abs(some[i] - middle);
  return { middle, least: Math.max(standsOutLevels, standsOutSigmas * sigmaPerMedian * median(some, n)) };
}

export const standsOut = ({ middle, least }: FaceLevels, level: number): boolean =>
  Math.abs(level - middle) > least;

/**
 * The points of a face that the sleeve's end hides: what stands out of the face from its innermost points outward, in some
 * directions only. It stands proud of the disc, moves otherwise under perspective, and is far brighter than a dark face.
 *
 * @param grey at each point, @param cell its cell; the first `count` are looked at
 * @returns 1 where it hides a point, in room that the next call writes over; null where none is seen
 */
export function sleeveBefore(
  grey: ArrayLike<number>,
  cell: Uint16Array,
  levels: FaceLevels,
  count = cell.length,
): Uint8Array | null {
  countOut(grey, cell, levels, count);
  let wide = 0;
  for (let k = 0; k < directions; k++) {
    reach[k] = reachOf(k * radii);
    if (reach[k] > 0) wide++;
  }
  if (wide === 0 || wide > widest * directions) return null;
  for (let k = 0; k < directions; k++) {
    // Its edge is blurred.
    const to = Math.max(reach[k], reach[(k + 1) % directions], reach[(k + directions - 1) % directions]);
    hides.fill(0, k * radii, (k + 1) * radii);
    if (to > 0) hides.fill(1, k * radii, Math.min((k + 1) * radii, k * radii + to + 1));
  }
  if (isHidden.length < count) isHidden = new Uint8Array(count);
  let hidden = 0;
  for (let i = 0; i < count; i++) hidden += isHidden[i] = hides[cell[i]];
  return hidden / count <= mostHidden ? isHidden : null;
}

/** Work space, for one face after the other; never shared between workers. */
let some = new Float64Array(0);
let isHidden = new Uint8Array(0);
/** Of each cell: its points that stand out, and all of them; whether the sleeve hides it. */
const out = new Uint16Array(directions * radii);
const all = new Uint16Array(directions * radii);
const hides = new Uint8Array(directions * radii);
/** Of each direction: the cells from the innermost on that stand out. */
const reach = new Uint8Array(directions);

function countOut(
  grey: ArrayLike<number>,
  cell: Uint16Array,
  { middle, least }: FaceLevels,
  count: number,
): void {
  out.fill(0);
  all.fill(0);
  for (let i = 0; i < count; i++) {
    all[cell[i]]++;
    if (Math.abs(grey[i] - middle) > least) out[cell[i]]++;
  }
}

/** How many cells outward from a direction's innermost one stand out; those without a point let it pass. */
function reachOf(first: number): number {
  let [far, seen] = [0, 0];
  for (let at = first; at < first + radii && out[at] >= leastOfCell * all[at]; at++) {
    far++;
    seen += out[at];
  }
  return seen > 0 ? far : 0;
}
