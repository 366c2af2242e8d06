import { median } from 'd3-array';
import { lightOf } from '../picture/light.ts';
import type { DiscView } from '../trace/disc-views.ts';
import {
  along,
  conicOfCircle,
  cross,
  distanceFrom,
  onPlane,
  projectPoint,
  unit,
  type Lens,
  type Plane,
  type Vec3,
} from './pinhole.ts';

/** A view of the disc with its near face's centre as a straight lens shows it, and the ring as it was followed there. */
export interface CentredView {
  view: DiscView;
  ring: { xPx: number; yPx: number };
  centre: { xPx: number; yPx: number };
}

const angles = 90;
/** Circles asked, as shares of the rim's radius. */
const leastShare = 0.9;
const mostShare = 1.12;
const stepShare = 0.004;
const shares = Array.from(
  { length: Math.round((mostShare - leastShare) / stepShare) + 1 },
  (_, k) => leastShare + k * stepShare,
);

/** Scenery varies by at least this much more than the disc does, grey levels, where it is told apart at all. */
const leastContrast = 2.5;
const mostRise = 1.3;
/** At least this share of the angles must tell. */
const leastTelling = 0.12;

/**
 * How large the disc is, as a share of the rim given, by what moves with it: across views at different heights a place of
 * the disc keeps its light, and a place beyond its rim does not, however plain or faint the rim and whatever lips and
 * rings lie within it. At each angle round the disc the spread of light over the views rises from the disc's own to the
 * scenery's; half-way up (half the light, as a blurred edge has there) lies the rim. Angles at which the disc's side
 * is seen beyond the face are left out, since it moves along.
 *
 * @returns the median over the angles that tell and its standard error, or null where too few do
 */
export function movingRim(
  views: readonly CentredView[],
  lens: Lens,
  plane: Plane,
  radiusM: number,
  thicknessM: number,
): { share: number; sigma: number } | null {
  const e1 = unit(cross(plane.normal, [0, 1, 0]));
  const e2 = cross(plane.normal, e1);
  const light = views.map((v) => samplesOf(v, lens, plane, radiusM, thicknessM, e1, e2));
  const rises: number[][] = [];
  for (let i = 0; i < angles; i++) {
    const there = light.map((view) => view[i]).filter((ray) => ray !== null);
    if (there.length < 5) continue;
    const rise = riseOf(shares.map((_, k) => spreadOf(there.map((ray) => ray[k]))));
    if (rise) rises.push(rise);
  }
  if (rises.length < leastTelling * angles) return null;
  const share = crossing(rises);
  if (share === null) return null;
  // Neighbouring angles see the same scenery: leave out one eighth of them at a time (jackknife).
  const parts = Array.from({ length: 8 }, (_, e) =>
    crossing(rises.filter((_, i) => Math.floor((8 * i) / rises.length) !== e)),
  ).map((s) => s ?? share);
  const sigma = Math.sqrt((7 / 8) * parts.reduce((sum, s) => sum + (s - share) ** 2, 0));
  return { share, sigma };
}

/** Where the middle one of rises passes half. */
function crossing(rises: readonly number[][]): number | null {
  const middle = shares.map((_, k) => median(rises, (rise) => rise[k])!);
  const k = middle.findIndex(
    (v, j) => v < 0.5 && middle[j + 1] >= 0.5 && j + 2 < middle.length && middle[j + 2] >= 0.5,
  );
  return k < 0 ? null : shares[k] + ((0.5 - middle[k]) / (middle[k + 1] - middle[k])) * stepShare;
}

/** Light along each angle of one view; null where the side is seen or the view ends. */
function samplesOf(
  { view, ring, centre }: CentredView,
  lens: Lens,
  plane: Plane,
  radiusM: number,
  thicknessM: number,
  e1: Vec3,
  e2: Vec3,
): (number[] | null)[] {
  const at = onPlane(lens, plane, centre.xPx, centre.yPx);
  const far = conicOfCircle(lens, along(at, plane.normal, -thicknessM), plane.normal, radiusM);
  // From the straight picture to the view's own pixels.
  const dx = view.ring.xPx - ring.xPx - view.x0Px;
  const dy = view.ring.yPx - ring.yPx - view.y0Px;
  return Array.from({ length: angles }, (_, i) => {
    const phi = (2 * Math.PI * i) / angles;
    const point = (share: number): readonly [number, number] => {
      const r = share * radiusM;
      return projectPoint(lens, along(along(at, e1, r * Math.cos(phi)), e2, r * Math.sin(phi)));
    };
    if (distanceFrom(far, ...point(1)) < -0.5) return null;
    const ray = shares.map((share) => {
      const [x, y] = point(share);
      return lightAt(view, x + dx, y + dy);
    });
    return ray.some(Number.isNaN) ? null : ray;
  });
}

function lightAt({ image: { width, height, data } }: DiscView, x: number, y: number): number {
  if (!(x >= 0 && y >= 0 && x < width - 1 && y < height - 1)) return NaN;
  const x0 = x | 0;
  const y0 = y | 0;
  const [fx, fy] = [x - x0, y - y0];
  const at = y0 * width + x0;
  const [nw, ne] = [lightOf[data[at]], lightOf[data[at + 1]]];
  const [sw, se] = [lightOf[data[at + width]], lightOf[data[at + width + 1]]];
  const top = nw + fx * (ne - nw);
  return top + fy * (sw + fx * (se - sw) - top);
}

/** Robust spread, from a low to a high quantile: of light, and of luma, which is about its square root. */
interface Spread {
  light: number;
  luma: number;
}

function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (p: number): number => sorted[Math.round(p * (sorted.length - 1))];
  const [low, high] = [at(0.15), at(0.85)];
  return { light: high - low, luma: Math.sqrt(high) - Math.sqrt(low) };
}

/**
 * The scenery's share of the light from 0, none within the disc, to 1; null where the two cannot be told apart. What noise
 * adds to a spread it adds in squares.
 */
function riseOf(spread: readonly Spread[]): number[] | null {
  const ends = (of: (s: Spread) => number): [inside: number, outside: number] => [
    median(spread.slice(0, 12), of)!,
    median(spread.slice(-12), of)!,
  ];
  const [insideLuma, outsideLuma] = ends(({ luma }) => luma);
  if (outsideLuma < insideLuma + leastContrast || outsideLuma < 2 * insideLuma) return null;
  const [inside, outside] = ends(({ light }) => light);
  if (outside <= inside) return null;
  return spread.map(({ light }) =>
    Math.min(mostRise, Math.sqrt(Math.max(0, (light ** 2 - inside ** 2) / (outside ** 2 - inside ** 2)))),
  );
}
