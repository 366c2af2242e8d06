import type { CameraMotion, UprightEdge } from '../contract/trace.ts';
import { touchesBox, type Box } from '../picture/corners.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { findUprightSegments, type UprightSegment } from '../picture/upright-edges.ts';

/** Pictures that are searched for upright edges, spread over the clip. */
const mostPictures = 5;
/** An edge belongs to the background when it is found at one place in this share of the pictures. */
const leastSeen = 0.6;
const samePlacePx = 3;
const sameLeanRad = 0.008;

/** Collects the upright edges of a clip's background: what moves with the lifter is not at one place in most pictures. */
export class UprightCollector {
  readonly #searched: { frame: number; segments: UprightSegment[] }[] = [];
  #nextS = 0;

  /** @param softeningPx what the pictures were softened by */
  constructor(
    private readonly durationS: number,
    private readonly softeningPx = 0,
  ) {}

  look(image: GreyImage, ptsS: number, frame: number): void {
    if (ptsS < this.#nextS || this.#searched.length >= mostPictures) return;
    this.#nextS = ptsS + this.durationS / mostPictures;
    this.#searched.push({ frame, segments: findUprightSegments(image, this.softeningPx) });
  }

  /**
   * @param motions each frame to the first
   * @param barAt where in a frame the bar is: of what moves with it nothing is an upright, however long it rests
   */
  uprights(motions: readonly CameraMotion[], barAt: (frame: number) => readonly Box[]): UprightEdge[] {
    const pictures = this.#searched.map(({ frame, segments }) => {
      const bar = barAt(frame);
      return segments.filter((s) => !touchesBox(bar, s.xPx, s.yPx, 0)).map((s) => inFirst(s, motions[frame]));
    });
    const kept: UprightEdge[] = [];
    pictures.forEach((edges) => {
      for (const edge of edges) {
        if (kept.some((other) => isSame(other, edge))) continue;
        const seen = pictures.flatMap((others) => others.filter((o) => isSame(o, edge)).slice(0, 1));
        if (seen.length < Math.max(1, leastSeen * pictures.length)) continue;
        kept.push(meanOf(seen));
      }
    });
    return kept;
  }
}

function inFirst(s: UprightSegment, motion: CameraMotion): UprightEdge {
  const [xPx, yPx] = applySimilarity(motion, s.xPx, s.yPx);
  return {
    xPx,
    yPx,
    lengthPx: (s.bottomPx - s.topPx) * Math.hypot(1, s.slope),
    // A slope of x down the picture is a lean to the left; the camera's turn is clockwise positive.
    leanRad: -Math.atan(s.slope) + motion.rotationRad,
    leanSigmaRad: s.slopeSigma,
    bowPx: s.bowPx,
    bowSigmaPx: s.bowSigmaPx,
  };
}

/** Parts of one edge count as the same when each lies on the other's line. */
function isSame(a: UprightEdge, b: UprightEdge): boolean {
  if (Math.abs(a.leanRad - b.leanRad) > sameLeanRad + 2 * (a.leanSigmaRad + b.leanSigmaRad)) return false;
  const lean = (a.leanRad + b.leanRad) / 2;
  return Math.abs(a.xPx - b.xPx - (b.yPx - a.yPx) * Math.tan(lean)) < samePlacePx;
}

/** One edge from its sightings: pictures of a clip share their flaws, so that it is no surer than the surest of them. */
function meanOf(seen: readonly UprightEdge[]): UprightEdge {
  const longest = seen.reduce((a, b) => (b.lengthPx > a.lengthPx ? b : a));
  const weights = seen.map((e) => 1 / e.leanSigmaRad ** 2);
  const total = weights.reduce((s, w) => s + w, 0);
  const mean = (of: (e: UprightEdge) => number): number =>
    seen.reduce((s, e, i) => s + weights[i] * of(e), 0) / total;
  return { ...longest, leanRad: mean((e) => e.leanRad), bowPx: mean((e) => e.bowPx) };
}
