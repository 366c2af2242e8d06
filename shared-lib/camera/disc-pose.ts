import { usualFocalLength, usualFocalSigma } from '../norms/phones.ts';
import { median, sum } from 'd3-array';
import { usualDiscRadiusM } from '../norms/discs.ts';
import { Matrix, solve } from 'ml-matrix';
import type { LensBow, Rim } from '../contract/trace.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { withinReach } from '../picture/rim-edges.ts';
import type { DiscView } from '../trace/disc-views.ts';
import {
  edgesOf,
  outlinesOn,
  rays,
  type DiscEdges,
  type DiscOutline,
  type FaceRing,
} from './disc-outline.ts';
import { axesOf, concentric } from './concentric.ts';
import { straightenAll, straightened } from './lens-bow.ts';
import { rimByScenery } from './scenery-rim.ts';
import { shownThicknesses } from './shown-thickness.ts';
import { centreMove, commonEquations, edgesPerIndependent, fineKernel } from './pose-equations.ts';
import {
  along,
  distanceFrom,
  dot,
  normalOf,
  onPlane,
  projectPoint,
  rayThrough,
  rimOfConic,
  type Lens,
  type Plane,
  type Vec3,
} from './pinhole.ts';
import {
  centreStepPx,
  common,
  difference,
  ofAllCurves,
  ringStep,
  viewSums,
  type ChangedOutlines,
} from './view-sums.ts';

export interface Place {
  xPx: number;
  yPx: number;
}

/**
 * What is sought: log of focal length over the picture's longer side; the plane's yaw and pitch; log of the rim's
 * semi-major axis in the middle of the path, px; the disc's thickness, m; and for each ring on its face the share of
 * the disc's radius and how far it stands out, m.
 */
export type PoseParameters = number[];

const rad = Math.PI / 180;
/**
 * What is known beforehand, mean and one sigma. A phone's main camera sees 65 to 75 degrees along the longer side,
 * filmed and steadied somewhat less, zoomed in down to 25; cameras look up or down by a few degrees; discs are 1 to
 * 10 cm thick and one to five of them are loaded; the ring that was followed is the rim (all common practice).
 */
const prior = {
  mean: [Math.log(usualFocalLength), 0, 0, 0, 0.08],
  sigma: [usualFocalSigma, 25 * rad, 9 * rad, NaN, 0.08],
  /** The ring that was followed is the rim, the more surely the rounder it looks: a seen side spoils it. */
  sizeSigma: { round: 0.012, perFlatness: 0.2 },
  ring: { shareSigma: 0.01, outSigmaM: 0.004 },
};

interface PlacedView {
  view: DiscView;
  /** Where the ring was followed, as a straight lens shows it. */
  ring: Place;
  centre: Place;
  /** The rim across which edges were looked for; null for the ring that was followed. */
  across: Rim | null;
  edges: DiscEdges;
}

export interface PoseFit {
  p: PoseParameters;
  views: PlacedView[];
  /** Log likelihood ratio against edges that lie anywhere along the rays; an outline that does not show counts against. */
  score: number;
  /** Inverse covariance of the parameters, row by row. */
  information: Float64Array;
  /** Share of the rays on which the outline shows. */
  shown: number;
}

/** What a pose is fitted to. */
export interface PoseQuestion {
  /** Displayed size. */
  picture: { widthPx: number; heightPx: number };
  views: readonly DiscView[];
  bow: LensBow | undefined;
  /** By how much the rim may be larger or smaller than the rings, relative. */
  sizeDoubt: number;
}

/** A fit to be made: reweighted Gauss-Newton steps with narrower and narrower kernels. */
export interface FitJob {
  views: readonly DiscView[];
  start: PoseParameters;
  /** Shares of the radius. */
  kernels: readonly number[];
  /** With each kernel. */
  steps: number;
  /** A fit that tells where the near face's centres are looked for first; else where the ring was followed. */
  near: Pick<PoseFit, 'views'> | null;
}

/** Fits a pinhole's place, and the disc seen through it, to the edges of several views; one problem at a time. */
export class PoseProblem {
  readonly views: readonly DiscView[];
  readonly #picture: PoseQuestion['picture'];
  readonly #bow: LensBow | undefined;
  readonly #mean: PoseParameters;
  readonly #middle: Place;
  readonly #sizeSigma: number;
  #held: { p: PoseParameters; sigma: number } | null = null;
  readonly #images: ReadonlyMap<DiscView, GreyImage>;
  readonly #edges = new Map<DiscView, FoundEdges>();

  constructor({ picture, views, bow, sizeDoubt }: PoseQuestion) {
    this.views = views;
    this.#picture = picture;
    this.#bow = bow;
    const images = withinReach(views.map(({ image }) => image));
    this.#images = new Map(views.map((view, i) => [view, images[i]]));
    const mid = (of: (v: DiscView) => number): number => median(views, of)!;
    const [xPx, yPx] = straightened(
      bow,
      picture,
      mid((v) => v.ring.xPx),
      mid((v) => v.ring.yPx),
    );
    this.#middle = { xPx, yPx };
    this.#mean = [...prior.mean];
    this.#mean[3] = Math.log(mid((v) => v.ring.aPx));
    const { round, perFlatness } = prior.sizeSigma;
    this.#sizeSigma = round + sizeDoubt + perFlatness * (1 - mid((v) => v.ring.bPx / v.ring.aPx));
  }

  start(yawRad: number, pitchRad: number, thicknessM: number, growth: number): PoseParameters {
    const [logFocal, , , logSize] = this.#mean;
    return [logFocal, yawRad, pitchRad, logSize + growth, thicknessM];
  }

  lens(p: PoseParameters): Lens {
    const { widthPx, heightPx } = this.#picture;
    const focalPx = Math.exp(p[0]) * Math.max(widthPx, heightPx);
    return { focalPx, cxPx: (widthPx - 1) / 2, cyPx: (heightPx - 1) / 2 };
  }

  plane(p: PoseParameters): Plane {
    const normal = normalOf(p[1], p[2]);
    const lens = this.lens(p);
    // The unshortened radius of a circle is seen at its centre's depth.
    const depthM = (lens.focalPx * usualDiscRadiusM) / Math.exp(p[3]);
    return { normal, distanceM: -depthM * dot(normal, rayThrough(lens, this.#middle.xPx, this.#middle.yPx)) };
  }

  fit({ views, start, kernels, steps, near }: FitJob): PoseFit {
    const radiusPx = Math.exp(this.#mean[3]);
    let p = start;
    const offset = near ? offsetOf(near) : { xPx: 0, yPx: 0 };
    const known = new Map(near?.views.map(({ view, centre }) => [view, centre]));
    let placed = views.map((view): PlacedView => {
      const ring = this.#ringOf(view);
      return this.placed(view, known.get(view) ?? { xPx: ring.xPx + offset.xPx, yPx: ring.yPx + offset.yPx });
    });
    let last = { score: -Infinity, information: new Float64Array(p.length ** 2), shown: 0 };
    for (const [k, kernel] of kernels.entries()) {
      const kernelPx = Math.max(0.8, kernel * radiusPx);
      const isFine = kernel < fineKernel;
      placed = placed.map((v) => {
        const across = isFine ? rimOfConic(this.#outline(p, v.centre).near) : null;
        return { ...v, across, edges: this.edgesIn(v.view, across) };
      });
      for (let step = 0; step < steps; step++) {
        const isLast = k === kernels.length - 1 && step === steps - 1;
        const { next, centres, ...figures } = this.#step(p, start, placed, kernelPx, isLast);
        p = next;
        placed = placed.map((v, i) => ({ ...v, centre: centres[i] }));
        last = figures;
      }
    }
    return { p, views: placed, ...last };
  }

  /** A view whose near face's centre is known, before it is looked at. */
  placed(view: DiscView, centre: Place): PlacedView {
    return { view, ring: this.#ringOf(view), centre, across: null, edges: noEdges };
  }

  /** Where the ring was followed, as a straight lens shows it. */
  #ringOf({ ring }: DiscView): Place {
    const [xPx, yPx] = straightened(this.#bow, this.#picture, ring.xPx, ring.yPx);
    return { xPx, yPx };
  }

  /** A view's edges on rays across a rim, or across the ring that was followed; found once for the many fits that start from one rim. */
  edgesIn(view: DiscView, across: Rim | null): DiscEdges {
    const found = this.#edges.get(view) ?? { onRing: null, last: [] };
    this.#edges.set(view, found);
    if (!across) return (found.onRing ??= this.#look(view, view.ring, view.ring));
    const known = found.last.find((each) => isSameRim(each.across, across));
    if (known) return known.edges;
    const edges = this.#look(view, across, this.#ringOf(view));
    found.last.push({ across, edges });
    if (found.last.length > mostKept) found.last.shift();
    return edges;
  }

  /** Edges as a straight lens shows them, from rays across a rim that is given about the ring's place `ring`. */
  #look(view: DiscView, rim: Rim, ring: Place): DiscEdges {
    const [dx, dy] = [view.ring.xPx - ring.xPx, view.ring.yPx - ring.yPx];
    const image = this.#images.get(view) ?? view.image;
    const edges = edgesOf({ ...view, image }, { ...rim, xPx: rim.xPx + dx, yPx: rim.yPx + dy });
    straightenAll(this.#bow, this.#picture, edges);
    return edges;
  }

  /** The parameters with the plainest concentric rings on the face added, as they look under this fit. */
  withRings({ p, views }: PoseFit, most: number): PoseParameters {
    const bins = new Float64Array(100);
    const [lens, plane] = [this.lens(p), this.plane(p)];
    const many = rays * views.length;
    for (const { edges, centre } of views) {
      const shares = sharesOf(edges, centre, lens, plane, usualDiscRadiusM);
      for (let k = 0; k < shares.length; k++)
        if (shares[k] < mostRingShare) bins[Math.floor(100 * shares[k])] += edges.weight[k] / many;
    }
    const rings: number[] = [];
    for (let n = 0; n < most; n++) {
      const at = bins.reduce((best, _, i) => (width3(bins, i) > width3(bins, best) ? i : best), 28);
      if (width3(bins, at) < leastRing) break;
      rings.push((at + 0.5) / 100, 0);
      for (let i = Math.max(0, at - 2); i <= Math.min(99, at + 2); i++) bins[i] = 0;
    }
    return [...p.slice(0, common), ...rings];
  }

  /**
   * The parameters with the rim moved out to the outermost circle that shows where nothing of the disc's side can: a
   * lip or a bevel may show more plainly than the rim outside it.
   */
  outermost({ p, views }: PoseFit): PoseParameters {
    const bins = new Float64Array(outerBins);
    const [lens, plane] = [this.lens(p), this.plane(p)];
    let looked = 0;
    for (const { edges, centre } of views) {
      const { near, far } = this.#outline(p, centre);
      const shares = sharesOf(edges, centre, lens, plane, usualDiscRadiusM);
      for (let i = 0; i < rays; i++) {
        const points = Array.from(
          { length: edges.first[i + 1] - edges.first[i] },
          (_, k) => edges.first[i] + k,
        );
        const [x, y] = [edges.xPx, edges.yPx];
        const isSide = points.some((k) => distanceFrom(far, x[k], y[k]) < distanceFrom(near, x[k], y[k]));
        if (isSide || points.length === 0) continue;
        looked++;
        for (const k of points) {
          const bin = Math.floor((shares[k] - 1) / outerBin);
          if (bin >= 0 && bin < outerBins) bins[bin]++;
        }
      }
    }
    const shown = (i: number): number => sum(bins.subarray(i - 2, i + 3)) / Math.max(1, looked);
    for (let i = outerBins - 3; i * outerBin >= leastOuter; i--) {
      if (shown(i) < leastOuterShown || shown(i - 1) > shown(i)) continue;
      const moved = [...p];
      moved[3] += Math.log(1 + (i + 0.5) * outerBin);
      return moved;
    }
    return p;
  }

  /** Thicknesses whose far rim shows under a fit, plainest first, metres. */
  thicknessesShown({ p, views }: PoseFit): number[] {
    return shownThicknesses(views, this.lens(p), this.plane(p), usualDiscRadiusM);
  }

  /**
   * The fit with the disc turned and shifted until its edges lie on concentric circles, and with each of the outermost circles
   * as its rim in turn.
   */
  withConcentric({ p, views }: PoseFit, most: number): Pick<PoseFit, 'p' | 'views'>[] {
    const lens = this.lens(p);
    const turned = ({ yawRad, pitchRad }: { yawRad: number; pitchRad: number }): PoseParameters =>
      p
        .slice(0, common)
        .with(1, p[1] + yawRad)
        .with(2, p[2] + pitchRad);
    const { turn, shift, circles } = concentric(
      views,
      lens,
      (t) => this.plane(turned(t)),
      usualDiscRadiusM,
      rays,
    );
    const q = turned(turn);
    const plane = this.plane(q);
    const [right, down] = axesOf(plane);
    const moved = this.#withCentres(q, views, (at) =>
      along(along(at, right, shift[0] * usualDiscRadiusM), down, shift[1] * usualDiscRadiusM),
    );
    return circles
      .filter(({ share }) => share > leastRimShare)
      .slice(0, mostRims)
      .map((rim) => {
        const within = circles
          .map(({ share, weight }) => ({ share: share / rim.share, weight }))
          .filter(({ share }) => share < mostRingShare)
          .sort((a, b) => b.weight - a.weight)
          .slice(0, most)
          .flatMap(({ share }) => [share, 0]);
        return { p: [...q.with(3, q[3] + Math.log(rim.share)), ...within], views: moved };
      });
  }

  /** The fit with the disc turned over: its near and its far rim change places in the picture, which looks much the same. */
  turnedOver({ p, views }: PoseFit): Pick<PoseFit, 'p' | 'views'> {
    const turned = p.slice(0, common).with(1, -p[1]).with(2, -p[2]);
    return {
      p: turned,
      views: this.#withCentres(p, views, (near, { normal }) => along(near, normal, -p[4])),
    };
  }

  /**
   * The fit with its tilt a multiple of what it was and another thickness, the far rim left where it is seen: what was taken for the
   * near rim may partly be the far one's.
   */
  withFarKept({ p, views }: PoseFit, tilts: number, thicknessM: number): Pick<PoseFit, 'p' | 'views'> {
    const turned = p
      .slice(0, common)
      .with(1, tilts * p[1])
      .with(2, tilts * p[2])
      .with(4, thicknessM);
    const after = this.plane(turned);
    const moved = this.#withCentres(p, views, (near, before) =>
      along(along(near, before.normal, -p[4]), after.normal, thicknessM),
    );
    return { p: turned, views: moved };
  }

  /** Views with their near faces' centres elsewhere in space. */
  #withCentres(
    p: PoseParameters,
    views: readonly PlacedView[],
    to: (near: Vec3, plane: Plane) => Vec3,
  ): PlacedView[] {
    const [lens, plane] = [this.lens(p), this.plane(p)];
    return views.map((view) => {
      const [xPx, yPx] = projectPoint(
        lens,
        to(onPlane(lens, plane, view.centre.xPx, view.centre.yPx), plane),
      );
      return { ...view, centre: { xPx, yPx } };
    });
  }

  /** The rim by where the scenery behind it begins, as a share of the fitted one; null where the views do not tell. */
  rimByScenery({ p, views }: PoseFit): ReturnType<typeof rimByScenery> {
    return rimByScenery(views, this.lens(p), this.plane(p), usualDiscRadiusM, Math.max(0, p[4]));
  }

  /** From now on focal length, yaw, pitch and the rim's size are known, each to one sigma. */
  hold(p: PoseParameters, sigma: number): void {
    this.#held = { p: p.slice(0, 4), sigma };
  }

  ringsIn(p: PoseParameters): FaceRing[] {
    const rings: FaceRing[] = [];
    for (let a = common; a < p.length; a += 2) rings.push({ share: p[a], outM: p[a + 1] });
    return rings;
  }

  #outline(p: PoseParameters, centre: Place): DiscOutline {
    return this.#outlines(p)(centre);
  }

  /** The disc under the parameters, for any centre of its near face. */
  #outlines(p: PoseParameters): (centre: Place) => DiscOutline {
    return outlinesOn(this.lens(p), this.plane(p), usualDiscRadiusM, Math.max(0, p[4]), this.ringsIn(p));
  }

  /** The disc under the parameters and under those changed a little. */
  #changedOutlines(p: PoseParameters): (centre: Place) => ChangedOutlines {
    const here = this.#outlines(p);
    const by = difference.slice(0, ofAllCurves).map((step, a) => this.#outlines(p.with(a, p[a] + step)));
    // Thickness moves the far rim alone, and a ring's share and height itself alone: one step for all of a kind.
    const [first, second] = [0, 1].map((which) =>
      this.#outlines(
        p.map((value, a) => {
          if (a < ofAllCurves) return value;
          if (a < common) return value + difference[a];
          return (a - common) % 2 === which ? value + ringStep : value;
        }),
      ),
    );
    return (centre) => ({
      here: here(centre),
      by: by.map((outline) => outline(centre)),
      right: here({ ...centre, xPx: centre.xPx + centreStepPx }),
      down: here({ ...centre, yPx: centre.yPx + centreStepPx }),
      first: first(centre),
      second: second(centre),
    });
  }

  #step(
    p: PoseParameters,
    start: PoseParameters,
    views: readonly PlacedView[],
    kernelPx: number,
    isLast: boolean,
  ) {
    const n = p.length;
    const outlines = this.#changedOutlines(p);
    const seen = views.map((v) => {
      const radiusPx = v.view.ring.aPx;
      const isFine = kernelPx < fineKernel * radiusPx;
      return { ...v, radiusPx, ...viewSums(v.edges, outlines(v.centre), kernelPx, isFine, isLast) };
    });
    let score = 0;
    for (const view of seen) score += view.score / edgesPerIndependent;
    const { normal, right, owns } = commonEquations(n, seen, kernelPx);
    // In units of edges: what is known beforehand counts against edges of one kernel's spread, thinned for what they share.
    const unit = edgesPerIndependent * kernelPx * kernelPx;
    p.forEach((value, a) => {
      const [mean, sigma] = this.#known(a, start);
      const weight = unit / sigma ** 2;
      normal[a * n + a] += weight;
      right[a] += weight * (mean - value);
      score -= ((value - mean) / sigma) ** 2 / 2;
    });
    const damped = Matrix.from1DArray(n, n, normal);
    for (let a = 0; a < n; a++) damped.set(a, a, damped.get(a, a) * 1.01);
    const delta = solve(damped, Matrix.columnVector(right)).to1DArray();
    const next = p.map((v, a) =>
      a < common
        ? v + clamp(delta[a], mostStep[a])
        : start[a] + clamp(v + delta[a] - start[a], (a - common) % 2 === 0 ? mostShare : mostOutM),
    );
    next[4] = Math.max(0, next[4]);
    const centres = owns.map((own, i) => {
      const { centre, view } = views[i];
      const most = 0.1 * view.ring.aPx;
      const [dx, dy] = centreMove(own, delta);
      return { xPx: centre.xPx + clamp(dx, most), yPx: centre.yPx + clamp(dy, most) };
    });
    const shown = seen.reduce((sum, view) => sum + view.shown, 0) / (rays * views.length);
    return { next, centres, information: normal.map((value) => value * (1 / unit)), score, shown };
  }

  #known(a: number, start: PoseParameters): readonly [mean: number, sigma: number] {
    if (this.#held && a < 4) return [this.#held.p[a], this.#held.sigma];
    if (a === 3) return [this.#mean[a], this.#sizeSigma];
    if (a < common) return [this.#mean[a], prior.sigma[a]];
    return (a - common) % 2 === 0 ? [start[a], prior.ring.shareSigma] : [0, prior.ring.outSigmaM];
  }
}

/** How far edges lie from a centre on the face, as shares of the disc's radius; `onPlane` written out: poses are fitted with millions. */
function sharesOf(edges: DiscEdges, centre: Place, lens: Lens, plane: Plane, radiusM: number): Float64Array {
  const [ax, ay, az] = onPlane(lens, plane, centre.xPx, centre.yPx);
  const [nx, ny, nz] = plane.normal;
  const { xPx, yPx } = edges;
  const shares = new Float64Array(xPx.length);
  for (let k = 0; k < shares.length; k++) {
    const x = (xPx[k] - lens.cxPx) / lens.focalPx;
    const y = (yPx[k] - lens.cyPx) / lens.focalPx;
    const depth = -plane.distanceM / (nx * x + ny * y + nz);
    const [dx, dy, dz] = [x * depth - ax, y * depth - ay, depth - az];
    shares[k] = Math.sqrt(dx * dx + dy * dy + dz * dz) / radiusM;
  }
  return shares;
}

/** From where the disc was followed to the near face's centre, in the middle of a fit's views. */
export function offsetOf({ views }: Pick<PoseFit, 'views'>): Place {
  return {
    xPx: median(views, ({ centre, ring }) => centre.xPx - ring.xPx)!,
    yPx: median(views, ({ centre, ring }) => centre.yPx - ring.yPx)!,
  };
}

/** Rings nearer to the rim cannot be told from it; a ring shows edges on at least this share of the rays. */
const mostRingShare = 0.98;
const leastRing = 0.35;
const width3 = (bins: Float64Array, i: number): number =>
  i < 28 ? 0 : bins[i - 1] + bins[i] + (bins[i + 1] ?? 0);

/** Circles just outside the rim are looked for in steps of this share of its radius, from the least to 8 % beyond. */
const outerBin = 0.004;
const outerBins = 20;
const leastOuter = 0.016;
/** They show on this share of the rays (measured on rendered clips). */
const leastOuterShown = 0.35;

/** Circles nearer to the centre than this, as a share of what was taken for the radius, are no rims; so many are asked. */
const leastRimShare = 0.93;
const mostRims = 3;

/** A view's edges on rays across the ring that was followed, and across the last rims that were asked for. */
interface FoundEdges {
  onRing: DiscEdges | null;
  last: { across: Rim; edges: DiscEdges }[];
}
/** A view's edges across so many rims are kept: a step of a climb begins from about as many places. */
const mostKept = 24;
const isSameRim = (a: Rim, b: Rim): boolean =>
  a.xPx === b.xPx && a.yPx === b.yPx && a.aPx === b.aPx && a.bPx === b.bPx && a.thetaRad === b.thetaRad;

const none = new Float64Array(0);
const noEdges: DiscEdges = { xPx: none, yPx: none, weight: none, first: new Int32Array(0), densityPerPx: 1 };
const mostStep = [0.1, 0.1, 0.1, 0.1, 0.02] as const;
/** A ring stays one and the same, and printed rings and grooves lie nearly in the face. */
const mostShare = 0.02;
const mostOutM = 0.005;
const clamp = (v: number, most: number): number => Math.min(most, Math.max(-most, v));
