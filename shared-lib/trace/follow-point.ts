import type { GreyImage } from '../picture/grey-image.ts';
import {
  patchSize,
  registerPatch,
  takePatch,
  type Patch,
  type Registration,
} from '../picture/patch-registration.ts';

/** Where a second point is in one picture, displayed pixels. */
export interface PointMeasurement {
  xPx: number;
  yPx: number;
  /** One sigma of each coordinate from grey noise; NaN where it was not seen. */
  sigmaPx: number;
  /** Likeness to the first picture's patch, or to a recent one's, 0 to 1; 0 where it was not seen. */
  confidence: number;
}

/** A joint is followed by what is painted on it over this width: less shows too little, more takes scenery along (common practice). */
const patchM = 0.09;
/** The first picture's patch decides as long as it is so alike; a limb that turned away looks otherwise. */
const stillItself = 0.85;
/** Less alike than this is something else. */
const leastAlike = 0.6;
/** A recent patch is taken anew when the last one has become so unlike. */
const grownStale = 0.93;

/** How much pictures are reduced so that a patch covers what is followed, a joint unless said otherwise. */
export const patchFactor = (metresPerPx: number, widthM = patchM): number =>
  Math.max(1, Math.round(widthM / (patchSize * metresPerPx)));

/**
 * Follows a point from picture to picture: near the last place by a patch of a recent picture, then by the patch of the
 * picture it was marked in, which cannot drift. What leaves the picture or looks otherwise is not seen; it is looked for
 * again where it was last.
 */
export class PointFollower {
  private readonly first: Patch;
  /** From the middle of the first patch, which lies on a reduced pixel, to the point. */
  private readonly mark: { dxPx: number; dyPx: number };
  private recent: { patch: Patch; dxPx: number; dyPx: number };
  private vxPx = 0;
  private vyPx = 0;

  private constructor(
    first: Patch,
    private xPx: number,
    private yPx: number,
  ) {
    this.first = first;
    this.mark = { dxPx: xPx - first.xPx, dyPx: yPx - first.yPx };
    this.recent = { patch: first, ...this.mark };
  }

  /** @returns null where nothing round the point can be told from its surroundings */
  static at(image: GreyImage, xPx: number, yPx: number, factor: number): PointFollower | null {
    const patch = takePatch(image, factor, xPx, yPx);
    return patch && new PointFollower(patch, xPx, yPx);
  }

  next(image: GreyImage): PointMeasurement {
    const expected = [this.xPx + this.vxPx, this.yPx + this.vyPx] as const;
    const near = this.byRecent(image, ...expected) ?? this.byRecent(image, this.xPx, this.yPx);
    const own = this.byFirst(image, ...(near ? ([near.xPx, near.yPx] as const) : expected));
    const found = own ?? near;
    if (!found) {
      this.vxPx = this.vyPx = 0;
      return { xPx: NaN, yPx: NaN, sigmaPx: NaN, confidence: 0 };
    }
    this.vxPx = found.xPx - this.xPx;
    this.vyPx = found.yPx - this.yPx;
    this.xPx = found.xPx;
    this.yPx = found.yPx;
    if ((near?.correlation ?? 0) < grownStale) this.renew(image);
    return { xPx: found.xPx, yPx: found.yPx, sigmaPx: found.sigmaPx, confidence: found.correlation };
  }

  private byRecent(image: GreyImage, xPx: number, yPx: number): Registration | null {
    const { patch, dxPx, dyPx } = this.recent;
    return moved(registerPatch(patch, image, xPx - dxPx, yPx - dyPx), dxPx, dyPx, leastAlike);
  }

  private byFirst(image: GreyImage, xPx: number, yPx: number): Registration | null {
    const { dxPx, dyPx } = this.mark;
    return moved(registerPatch(this.first, image, xPx - dxPx, yPx - dyPx), dxPx, dyPx, stillItself);
  }

  private renew(image: GreyImage): void {
    const patch = takePatch(image, this.first.factor, this.xPx, this.yPx);
    if (patch) this.recent = { patch, dxPx: this.xPx - patch.xPx, dyPx: this.yPx - patch.yPx };
  }
}

/** A registration as the point's place, where it is alike enough. */
const moved = (r: Registration | null, dxPx: number, dyPx: number, least: number): Registration | null =>
  r && r.correlation >= least ? { ...r, xPx: r.xPx + dxPx, yPx: r.yPx + dyPx } : null;
