import { biweight, median, sigmaPerMedian, weightedMedian } from '../motion/statistics.ts';
import { lightAt, lightOf } from '../picture/light.ts';
import { solveInPlace } from '../picture/small-solve.ts';
import type { DiscView } from '../trace/disc-views.ts';
import {
  along,
  conicOfCircle,
  cross,
  distanceFrom,
  onPlane,
  unit,
  type Conic,
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

const angles = 144;
const sectors = 36;
/** Circles asked, as shares of the rim's radius. */
const leastShare = 0.9;
const mostShare = 1.15;
const stepShare = 0.005;
const shares = Array.from(
  { length: Math.round((mostShare - leastShare) / stepShare) + 1 },
  (_, k) => leastShare + k * stepShare,
);
/** Shares of the circles within every rim, and beyond every one. */
const within = 10;
const beyond = 9;

// Limits that are not said to be measured were set by judgement on rendered clips.
/** Beyond the near rim by this share of the radius, and the far one's, scenery is taken for bare; px at least. */
const bareFrom = 0.12;
const leastBarePx = 2.5;
/**
 * An angle at which the far rim comes this near to the near one, px, or beyond, shows the disc's side, which moves along; that of a disc
 * at least so thick, since a thin one may be fitted to what is none.
 */
const nearestFarPx = 0.3;
const leastThicknessM = 0.04;
/** Light beyond the rim that is off the scenery's by more than this, of white's square root, is of something else that passes. */
const mostOff = 0.03;
/** Views in which an angle must tell. */
const leastViews = 3;
/** Spread of the scenery, of white's light, below which a sector says nothing; and of a plain one. A sector's sigma grows with the inverse of it. */
const leastContrast = 0.05;
const plainContrast = 0.3;
/** Off by this, of the radius, is a sector of plain contrast at most, and by half of it at least (measured on rendered clips). */
const sectorSigma = 0.006;
const leastOfSigma = 0.5;
/** No lip lies further within a rim than this, of the radius (7 % on thin steel discs; common practice): beyond it something else hides the scenery. */
const farthestRim = 0.08;
/** The centre is known this well before, of the radius. */
const centreSigma = 0.01;
const leastSectors = 6;
const parts = 9;
const rounds = 40;

/**
 * How large the disc is, as a share of the rim given, by where the scenery behind it begins. What lies behind the disc in one view is
 * bare in others, in which the disc is higher or lower. Along a circle round the disc's middle the light of each view is regressed on
 * that of the bare scenery in the same place, at each angle over the views: within the disc the slope is 0, beyond it 1, and at the
 * rim a half, however faint the rim, whatever lips and rings lie within it, and however its light changes with height. Parts of the
 * outline at which something else moves with the disc, an arm or its own side, come out too far and are robustly left out.
 *
 * @returns the share and its standard error (jackknife over ninths of the outline), or null where too little scenery tells
 */
export function rimByScenery(
  views: readonly CentredView[],
  lens: Lens,
  plane: Plane,
  radiusM: number,
  thicknessM: number,
): { share: number; sigma: number } | null {
  const placed = views.map((view) => place(view, lens, plane, radiusM, thicknessM));
  const rays = Array.from({ length: angles }, (_, i) =>
    placed.flatMap((view) => rayOf(view, (2 * Math.PI * i) / angles, placed) ?? []),
  );
  const told = Array.from({ length: sectors }, (_, e) => sectorOf(rays, e)).filter((s) => s !== null);
  if (told.length < leastSectors) return null;
  const beyondRim = outline(told);
  const without = Array.from({ length: parts }, (_, part) =>
    outline(told.filter(({ sector }) => Math.floor((sector * parts) / sectors) !== part)),
  );
  const squares = without.reduce((sum, by) => sum + (by - beyondRim) ** 2, 0);
  return { share: 1 + beyondRim, sigma: Math.sqrt(((parts - 1) / parts) * squares) };
}

interface PlacedDisc {
  view: DiscView;
  near: Conic;
  far: Conic;
  lens: Lens;
  radiusM: number;
  /** The near face's middle and axes in it, metres in camera axes. */
  middle: Vec3;
  e1: Vec3;
  e2: Vec3;
  /** From the straight picture to the view's own pixels. */
  dxPx: number;
  dyPx: number;
  barePx: number;
}

function place(
  { view, ring, centre }: CentredView,
  lens: Lens,
  plane: Plane,
  radiusM: number,
  thicknessM: number,
): PlacedDisc {
  const middle = onPlane(lens, plane, centre.xPx, centre.yPx);
  const e1 = unit(cross(plane.normal, [0, 1, 0]));
  const e2 = cross(plane.normal, e1);
  return {
    view,
    near: conicOfCircle(lens, middle, plane.normal, radiusM),
    far: conicOfCircle(
      lens,
      along(middle, plane.normal, -Math.max(leastThicknessM, thicknessM)),
      plane.normal,
      radiusM,
    ),
    lens,
    radiusM,
    ...{ middle, e1, e2 },
    dxPx: view.ring.xPx - ring.xPx - view.x0Px,
    dyPx: view.ring.yPx - ring.yPx - view.y0Px,
    barePx: Math.max(leastBarePx, bareFrom * view.ring.aPx),
  };
}

/** Light along a ray of one view, and that of the bare scenery in the same places, on each of the circles. */
interface Ray {
  light: Float64Array;
  bare: Float64Array;
}

/** Work space, for one ray after the other; never shared between workers. */
const off = new Float64Array(beyond);
let seen = new Float64Array(0);

/** Null where the disc's side shows, the view ends, nothing is known of the scenery or something stands before it. */
function rayOf(disc: PlacedDisc, angleRad: number, placed: readonly PlacedDisc[]): Ray | null {
  const { lens, radiusM, middle, e1, e2 } = disc;
  const [cosine, sine] = [Math.cos(angleRad), Math.sin(angleRad)];
  // Along both axes in turn and through the lens, written out: a pose looks at a hundred thousand places.
  const depthAt = (r: number): number => middle[2] + r * cosine * e1[2] + r * sine * e2[2];
  const xAt = (r: number): number =>
    lens.cxPx + (lens.focalPx * (middle[0] + r * cosine * e1[0] + r * sine * e2[0])) / depthAt(r);
  const yAt = (r: number): number =>
    lens.cyPx + (lens.focalPx * (middle[1] + r * cosine * e1[1] + r * sine * e2[1])) / depthAt(r);
  if (distanceFrom(disc.far, xAt(radiusM), yAt(radiusM)) < nearestFarPx) return null;
  const light = new Float64Array(shares.length);
  const bare = new Float64Array(shares.length);
  // From the outside: what is of no use shows there.
  for (let k = shares.length - 1, looked = 1; k >= 0; k--, looked++) {
    const r = shares[k] * radiusM;
    const x = xAt(r);
    const y = yAt(r);
    light[k] = lightIn(disc, x, y);
    bare[k] = bareAt(disc, x, y, placed);
    if (Number.isNaN(light[k] + bare[k])) return null;
    if (looked <= beyond) off[looked - 1] = Math.abs(Math.sqrt(light[k]) - Math.sqrt(bare[k]));
    if (looked === beyond && median(off) > mostOff * Math.sqrt(lightOf[255])) return null;
  }
  return { light, bare };
}

/** Light of the scenery in one place, by the other views in which nothing of the disc is near it; NaN where there is none. */
function bareAt(disc: PlacedDisc, x: number, y: number, placed: readonly PlacedDisc[]): number {
  if (seen.length < placed.length) seen = new Float64Array(placed.length);
  let count = 0;
  for (const other of placed) {
    if (other === disc || distanceFrom(other.near, x, y) < other.barePx) continue;
    if (distanceFrom(other.far, x, y) < other.barePx) continue;
    const light = lightIn(other, x, y);
    if (!Number.isNaN(light)) seen[count++] = light;
  }
  return median(seen, count);
}

const lightIn = ({ view, dxPx, dyPx }: PlacedDisc, xPx: number, yPx: number): number =>
  lightAt(view.image, xPx + dxPx, yPx + dyPx);

/** Where scenery begins in one sector, beyond the rim given, as a share of the radius, and one sigma. */
interface Sector {
  sector: number;
  beyond: number;
  sigma: number;
}

function sectorOf(rays: readonly (readonly Ray[])[], sector: number): Sector | null {
  const perSector = angles / sectors;
  const here = rays
    .slice(sector * perSector, (sector + 1) * perSector)
    .filter((views) => views.length >= leastViews);
  const slope = new Float64Array(shares.length);
  const squares = new Float64Array(shares.length);
  for (let k = 0; k < shares.length; k++) {
    let products = 0;
    for (const views of here) {
      let [bare, light] = [0, 0];
      for (const ray of views) {
        bare += ray.bare[k];
        light += ray.light[k];
      }
      bare /= views.length;
      light /= views.length;
      for (const ray of views) {
        const bareBy = ray.bare[k] - bare;
        products += (ray.light[k] - light) * bareBy;
        squares[k] += bareBy * bareBy;
      }
    }
    slope[k] = products / squares[k];
  }
  const contrast = Math.sqrt(median(squares)) / lightOf[255];
  const inside = median(slope, within);
  const outside = median(slope.subarray(-beyond));
  const isTelling = contrast > leastContrast && Math.abs(inside) < 0.2 && Math.abs(outside - 1) < 0.25;
  if (!isTelling) return null;
  const k = slope.findIndex((v, j) => v < 0.5 && slope[j + 1] >= 0.5 && slope[j + 2] >= 0.5);
  if (k < 0) return null;
  const share = shares[k] + ((0.5 - slope[k]) / (slope[k + 1] - slope[k])) * stepShare;
  if (share - 1 > farthestRim) return null;
  return { sector, beyond: share - 1, sigma: sectorSigma * (1 + plainContrast / contrast) };
}

/** By how much the outline is larger than the rim given, with its centre free to lie elsewhere; robustly (Tukey's biweight). */
function outline(told: readonly Sector[]): number {
  let size = weightedMedian(told.map(({ beyond, sigma }) => ({ value: beyond, weight: 1 / sigma })));
  let [cosine, sine] = [0, 0];
  const angleOf = ({ sector }: Sector): number => (2 * Math.PI * (sector + 0.5)) / sectors;
  const cosines = Float64Array.from(told, (each) => Math.cos(angleOf(each)));
  const sines = Float64Array.from(told, (each) => Math.sin(angleOf(each)));
  const left = new Float64Array(told.length);
  const magnitude = new Float64Array(told.length);
  const row = new Float64Array([1, 0, 0]);
  const normal = new Float64Array(9);
  const right = new Float64Array(3);
  for (let n = 0; n < rounds; n++) {
    for (let j = 0; j < told.length; j++) {
      const beyondRim = told[j].beyond - size - cosine * cosines[j] - sine * sines[j];
      left[j] = beyondRim / told[j].sigma;
      magnitude[j] = Math.abs(left[j]);
    }
    const spread = Math.min(1, Math.max(leastOfSigma, sigmaPerMedian * median(magnitude)));
    normal.fill(0);
    right.fill(0);
    normal[4] = normal[8] = centreSigma ** -2;
    for (let j = 0; j < told.length; j++) {
      row[1] = cosines[j];
      row[2] = sines[j];
      const sigma = spread * told[j].sigma;
      const weight = biweight(left[j], spread) / (sigma * sigma);
      for (let a = 0; a < 3; a++) {
        right[a] += weight * row[a] * told[j].beyond;
        for (let b = 0; b < 3; b++) normal[3 * a + b] += weight * row[a] * row[b];
      }
    }
    if (!solveInPlace(normal, right)) break;
    size = right[0];
    cosine = right[1];
    sine = right[2];
  }
  return size;
}
