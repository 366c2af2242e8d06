import { stillCamera, type CameraMotion } from '../contract/trace.ts';
import type { Box } from '../picture/corners.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { composeSimilarity } from '../picture/similarity.ts';
import { levels, sightAnchor, takeAnchor, type Anchor, type Sighting } from './camera-motion-anchor.ts';
import { addUncertainty, noUncertainty, type MotionUncertainty } from './camera-motion-uncertainty.ts';

/** The camera's motion in one frame. */
export interface CameraEstimate {
  /** Maps the frame's pixels to the first frame's. */
  motion: CameraMotion;
  uncertainty: MotionUncertainty;
  /** Share of the expected background marks that agree on this motion; 0 where the last motion was held. */
  inlierShare: number;
}

/** How far a camera is taken to wander in a frame in which no background is seen, px (common practice: a hand's shake). */
const blindSigmaPx = 3;
/** Fewer agreeing marks than this make no motion. */
const fewest = 6;
/** Beyond this turn and growth a patch no longer looks like itself, and a new anchor is taken. */
const mostTurnRad = 0.06;
const mostGrowth = 0.06;

interface Placed {
  anchor: Anchor;
  /** The anchor's picture to the first, and how surely. */
  motion: CameraMotion;
  uncertainty: MotionUncertainty;
}

/**
 * Follows the background from frame to frame. Call `update` with every full-resolution picture of a clip in
 * order; all must have one size.
 */
export class CameraMotionEstimator {
  #placed: Placed | null = null;
  /** The last frame to the anchor's picture, and the shift it gained since the frame before. */
  #last: CameraMotion = stillCamera;
  #gain = { x: 0, y: 0 };
  #lastEstimate: CameraEstimate = { motion: stillCamera, uncertainty: noUncertainty, inlierShare: 1 };

  /** @param random uniform on [0, 1), for the draws of the consensus */
  constructor(private readonly random: () => number) {}

  /** @param excluded rectangles of this picture in which things move with the lifter, displayed px */
  update(image: GreyImage, excluded: readonly Box[]): CameraEstimate {
    if (!this.#placed) {
      this.#placed = { anchor: takeAnchor(image, excluded), motion: stillCamera, uncertainty: noUncertainty };
      return this.#lastEstimate;
    }
    const { anchor, motion, uncertainty } = this.#placed;
    const sighting = this.#sight(anchor, image, excluded);
    if (!sighting) return this.#hold(image, excluded);
    const { similarity } = sighting;
    this.#gain = { x: similarity.txPx - this.#last.txPx, y: similarity.tyPx - this.#last.tyPx };
    this.#last = similarity;
    this.#lastEstimate = {
      motion: composeSimilarity(motion, similarity),
      uncertainty: addUncertainty(uncertainty, uncertaintyOf(sighting)),
      inlierShare: sighting.agreeing / sighting.expectedMarks,
    };
    if (isWorn(anchor, sighting)) this.#moveAnchor(image, excluded);
    return this.#lastEstimate;
  }

  /** Looks where the motion is expected first, and wider, from coarse to fine, only when that fails. */
  #sight(anchor: Anchor, image: GreyImage, excluded: readonly Box[]): Sighting | null {
    const expected = {
      ...this.#last,
      txPx: this.#last.txPx + this.#gain.x,
      tyPx: this.#last.tyPx + this.#gain.y,
    };
    const at = (level: number, motion: CameraMotion): Sighting | null =>
      sightAnchor(anchor, level, image, excluded, motion, this.random);
    const near = at(0, expected);
    if (near && near.agreeing >= Math.max(fewest, 0.6 * near.expectedMarks)) return near;
    let motion = this.#last;
    for (let level = levels.length - 1; level > 0; level--) motion = at(level, motion)?.similarity ?? motion;
    const far = at(0, motion);
    const best = (far?.agreeing ?? 0) > (near?.agreeing ?? 0) ? far : near;
    return best && best.agreeing >= Math.max(fewest, 0.3 * best.expectedMarks) ? best : null;
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
    this.#lastEstimate = {
      motion: this.#lastEstimate.motion,
      uncertainty: addUncertainty(this.#lastEstimate.uncertainty, blind),
      inlierShare: 0,
    };
    if (this.#placed!.anchor.marks.length < fewest) this.#moveAnchor(image, excluded);
    return this.#lastEstimate;
  }

  #moveAnchor(image: GreyImage, excluded: readonly Box[]): void {
    const anchor = takeAnchor(image, excluded);
    if (anchor.size < fewest) return;
    const { motion, uncertainty } = this.#lastEstimate;
    this.#placed = { anchor, motion, uncertainty };
    this.#last = stillCamera;
  }
}

function uncertaintyOf(s: Sighting): MotionUncertainty {
  const inflation = Math.max(1, s.chi2);
  return {
    xPx: s.centreXPx,
    yPx: s.centreYPx,
    shiftVarPx2: inflation / s.weightSum,
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
