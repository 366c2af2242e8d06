import { stillCamera, type CameraMotion } from '../contract/trace.ts';
import type { Box } from '../picture/corners.ts';
import { conformalPicture, type ConformalPicture } from '../picture/conformal-picture.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { composeSimilarity } from '../picture/similarity.ts';
import {
  keepShown,
  levels,
  noteUnchanged,
  sightAnchor,
  takeAnchor,
  type Anchor,
  type Mark,
  type Sighting,
  type Sights,
} from './camera-motion-anchor.ts';
import { agreeingMarks, byBackground, filledIn, isBackInPlace, type Told } from './camera-motion-return.ts';
import type { CameraEstimate } from './camera-estimate.ts';
import { addUncertainty, noUncertainty, type MotionUncertainty } from './camera-motion-uncertainty.ts';

/** How far a camera is taken to wander in a frame in which no background is seen, px (common practice: a hand's shake). */
const blindSigmaPx = 3;
/** Fewer agreeing marks than this make no motion. */
const fewest = 6;
/** Share of the expected marks that must agree to look no further, and to be believed at all (common practice). */
const sureShare = 0.6;
const leastShare = 0.3;
/** Beyond this turn and growth a patch no longer looks like itself, and a new anchor is taken. */
const mostTurnRad = 0.06;
const mostGrowth = 0.06;

const firstEstimate: CameraEstimate = { motion: stillCamera, uncertainty: noUncertainty, inlierShare: 1 };

interface Placed {
  anchor: Anchor;
  /** The anchor's picture to the first, and how surely. */
  motion: CameraMotion;
  uncertainty: MotionUncertainty;
}

/** After so many frames without a motion, and every so many more, the view counts as new and gets a new anchor. */
const blindPatience = 10;
/** Pictures back which what they showed of the first one's marks is kept: 3 MB. */
const mostKept = 1200;
/** How often it is tried to come back to the first anchor, in frames. */
const homeEvery = 10;

/**
 * Follows the background from frame to frame. Call `update` with every full-resolution picture of a clip in
 * order; all must have one size. What lies much nearer or farther than the background shifts a little
 * differently when the camera does more than turn: a similarity cannot tell.
 */
export class CameraMotionEstimator {
  #home: Placed | null = null;
  /** All marks that the first picture began with, those too that went their own way. */
  #firstMarks: readonly Mark[] = [];
  /** What each picture showed of the first one's marks, while it was held against that. */
  readonly #shownOfFirst: (Sights | null)[] = [];
  /** What was said of pictures before the background was told from what moved before it, put right. */
  readonly #putRight = new Map<number, CameraEstimate>();
  #placed: Placed | null = null;
  /** The last frame to the anchor's picture, and the shift it gained since the frame before. */
  #last: CameraMotion = stillCamera;
  #gain = { x: 0, y: 0 };
  #lastAtHome: CameraMotion = stillCamera;
  #frame = -1;
  #blindFrames = 0;
  #estimate: CameraEstimate = firstEstimate;

  #space: ConformalPicture | null = null;

  /**
   * @param random uniform on [0, 1), for the draws of the consensus
   * @param focalPx of the lens, as well as it is known: how much a turn stretches the picture's edges
   */
  constructor(
    private readonly random: () => number,
    private readonly focalPx = Infinity,
  ) {}

  /** What is known better by now of pictures that were looked at before, counted as they were given. */
  putRight(): ReadonlyMap<number, CameraEstimate> {
    return this.#putRight;
  }

  /** @param excluded rectangles of this picture in which things move with the lifter, displayed px */
  update(image: GreyImage, excluded: readonly Box[]): CameraEstimate {
    this.#frame++;
    this.#shownOfFirst.push(null);
    if (this.#frame >= mostKept) this.#shownOfFirst[this.#frame - mostKept] = null;
    if (!this.#placed || !this.#home) {
      this.#space = conformalPicture(image, this.focalPx);
      const anchor = takeAnchor(image, excluded, this.#space);
      this.#home = this.#placed = { anchor, motion: stillCamera, uncertainty: noUncertainty };
      this.#firstMarks = anchor.marks;
      if (anchor.size < fewest) this.#estimate = { ...this.#estimate, inlierShare: 0 };
      return this.#estimate;
    }
    noteUnchanged(this.#placed.anchor, image);
    let sighting = this.#sight(this.#placed.anchor, image, excluded, this.#last, this.#gain);
    if (this.#placed !== this.#home && (!sighting || this.#frame % homeEvery === 0)) {
      const home =
        this.#sightHome(this.#home, image, excluded) ?? this.#sightInPlace(this.#home, image, excluded);
      if (home) {
        this.#placed = this.#home;
        this.#last = home.similarity;
        sighting = home;
      }
    }
    return sighting ? this.#accept(this.#placed, sighting, image, excluded) : this.#hold(image, excluded);
  }

  /** The first anchor, where the chain of motions says it is or else where it was last seen. */
  #sightHome(home: Placed, image: GreyImage, excluded: readonly Box[]): Sighting | null {
    noteUnchanged(home.anchor, image);
    for (const expected of [this.#estimate.motion, this.#lastAtHome]) {
      const sighting = this.#sight(home.anchor, image, excluded, expected, { x: 0, y: 0 });
      const sure = sighting && sighting.agreeing >= sureShare * sighting.expectedMarks;
      if (sure && !isWorn(home.anchor, sighting)) return sighting;
    }
    return null;
  }

  /** The first anchor where it was, if its marks are back there while the camera is said to be elsewhere. */
  #sightInPlace(home: Placed, image: GreyImage, excluded: readonly Box[]): Sighting | null {
    const anchor = { ...home.anchor, marks: [...this.#firstMarks] };
    const at = (motion: CameraMotion): Sighting | null =>
      sightAnchor(anchor, 0, image, excluded, motion, this.random);
    const back = at(stillCamera);
    if (!back || !isBackInPlace(back, at(this.#estimate.motion), this.#estimate, image)) return null;
    const background = agreeingMarks(back);
    home.anchor.marks = [...background];
    for (const mark of background) mark.strayed = 0;
    this.#putRightBy(background, home.anchor, image, back);
    return back;
  }

  /** What pictures before this one showed of the background, and what lies between. */
  #putRightBy(background: ReadonlySet<Mark>, anchor: Anchor, image: GreyImage, now: Sighting): void {
    const told: Told[] = this.#frame < mostKept ? [{ frame: 0, estimate: firstEstimate }] : [];
    let expected = stillCamera;
    this.#shownOfFirst.forEach((sights, frame) => {
      const seen = sights && byBackground(sights, background, anchor.factor, image, expected, this.random);
      if (!seen || seen.agreeing < fewest) return;
      expected = seen.similarity;
      told.push({ frame, estimate: estimateOf(anchor, seen) });
    });
    told.push({ frame: this.#frame, estimate: estimateOf(anchor, now) });
    for (const { frame, estimate } of filledIn(told)) this.#putRight.set(frame, estimate);
  }

  #accept(placed: Placed, sighting: Sighting, image: GreyImage, excluded: readonly Box[]): CameraEstimate {
    const { similarity } = sighting;
    this.#gain = { x: similarity.txPx - this.#last.txPx, y: similarity.tyPx - this.#last.tyPx };
    this.#last = similarity;
    keepShown(placed.anchor, image, similarity);
    this.#blindFrames = 0;
    if (placed === this.#home) {
      this.#lastAtHome = similarity;
      this.#shownOfFirst[this.#frame] = sighting.sights;
    }
    const here = estimateOf(placed.anchor, sighting);
    this.#estimate = {
      ...here,
      motion: composeSimilarity(placed.motion, similarity),
      uncertainty: addUncertainty(placed.uncertainty, here.uncertainty),
    };
    if (isWorn(placed.anchor, sighting)) this.#moveAnchor(image, excluded);
    return this.#estimate;
  }

  /** Looks where the motion is expected first, and wider, from coarse to fine, only when that fails. */
  #sight(
    anchor: Anchor,
    image: GreyImage,
    excluded: readonly Box[],
    last: CameraMotion,
    gain: { x: number; y: number },
  ): Sighting | null {
    const at = (level: number, motion: CameraMotion): Sighting | null =>
      sightAnchor(anchor, level, image, excluded, motion, this.random);
    const near = at(0, { ...last, txPx: last.txPx + gain.x, tyPx: last.tyPx + gain.y });
    if (near && near.agreeing >= Math.max(fewest, sureShare * near.expectedMarks)) return near;
    let motion = last;
    for (let level = levels.length - 1; level > 0; level--) motion = at(level, motion)?.similarity ?? motion;
    const far = at(0, motion);
    const best = (far?.agreeing ?? 0) > (near?.agreeing ?? 0) ? far : near;
    return best && best.agreeing >= Math.max(fewest, leastShare * best.expectedMarks) ? best : null;
  }

  /** No background in sight: the last motion stands, less and less surely. */
  #hold(image: GreyImage, excluded: readonly Box[]): CameraEstimate {
    const blind: MotionUncertainty = {
      xPx: image.width / 2,
      yPx: image.height / 2,
      shiftVarPx2: blindSigmaPx ** 2,
      turnVarRad2: (blindSigmaPx / image.width) ** 2,
    };
    this.#gain = { x: 0, y: 0 };
    this.#estimate = {
      motion: this.#estimate.motion,
      uncertainty: addUncertainty(this.#estimate.uncertainty, blind),
      inlierShare: 0,
    };
    this.#blindFrames++;
    if (this.#blindFrames % blindPatience === 0) this.#moveAnchor(image, excluded);
    return this.#estimate;
  }

  #moveAnchor(image: GreyImage, excluded: readonly Box[]): void {
    const anchor = takeAnchor(image, excluded, this.#space!);
    if (anchor.size < fewest) return;
    const { motion, uncertainty } = this.#estimate;
    this.#placed = { anchor, motion, uncertainty };
    this.#last = stillCamera;
    this.#gain = { x: 0, y: 0 };
  }
}

/** Error that all marks of a picture share, from compression and interpolation, pixels of the anchor's patches (measured on compressed clips). */
const sharedSigma = 0.015;

/** Of the motion to the anchor's picture. */
const estimateOf = (anchor: Anchor, sighting: Sighting): CameraEstimate => ({
  motion: sighting.similarity,
  uncertainty: uncertaintyOf(anchor, sighting),
  inlierShare: sighting.agreeing / sighting.expectedMarks,
});

function uncertaintyOf(anchor: Anchor, s: Sighting): MotionUncertainty {
  const inflation = Math.max(1, s.chi2);
  return {
    xPx: s.centreXPx,
    yPx: s.centreYPx,
    shiftVarPx2: inflation / s.weightSum + (sharedSigma * anchor.factor) ** 2,
    turnVarRad2: inflation / s.momentSum,
  };
}

/** Whether so few marks are left, or the picture is turned or grown so far, that new ones are needed. */
function isWorn(anchor: Anchor, s: Sighting): boolean {
  const few = s.agreeing < 12 && s.agreeing < 0.4 * anchor.size;
  return (
    few ||
    Math.abs(s.similarity.rotationRad) > mostTurnRad ||
    Math.abs(Math.log(s.similarity.scale)) > mostGrowth
  );
}
