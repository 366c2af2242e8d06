import type { Box } from '../picture/corners.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { between, type CameraEstimate } from './camera-estimate.ts';
import type { CameraMotionEstimator } from './camera-motion.ts';
import { strayPx, stillWithinPx, type PictureSize } from './camera-motion-settle.ts';

/** A camera that stood still for so long is taken to go on, and looked at this far apart: a shake lasts longer. */
const restedS = 1;
const betweenLooksS = 0.067;

interface Look {
  frame: number;
  estimate: CameraEstimate;
  /** Whether it is further from the first picture than standing still explains. */
  isAway: boolean;
}

/**
 * The camera's motion in each picture. One that has stood still since the clip's first picture is looked at now and then
 * only, until it is seen to move: most clips are filmed from something that stands, and following the background costs
 * as much as following the bar.
 */
export class RestingCamera {
  readonly #looks: Look[] = [];
  #frames = 0;
  #hasMoved = false;
  /** When it began to rest, as far as has been seen, and the last look, seconds of file time. */
  #restingSinceS = Infinity;
  #lookedS = -Infinity;

  constructor(
    private readonly estimator: Pick<CameraMotionEstimator, 'update' | 'putRight'>,
    private readonly size: PictureSize,
  ) {}

  /** Call with every picture in time order. @param excluded rectangles in which things move with the lifter */
  look(image: GreyImage, ptsS: number, excluded: readonly Box[]): void {
    const frame = this.#frames++;
    const isResting = !this.#hasMoved && this.#lookedS - this.#restingSinceS >= restedS;
    if (isResting && ptsS - this.#lookedS < betweenLooksS) return;
    const estimate = this.estimator.update(image, excluded);
    const isAway = strayPx(estimate, this.size) > stillWithinPx;
    const before = this.#looks.at(-1);
    this.#looks.push({ frame, estimate, isAway });
    // One look may be misjudged.
    if (isAway && before?.isAway) this.#hasMoved = true;
    if (isAway || estimate.inlierShare === 0) this.#restingSinceS = Infinity;
    else this.#restingSinceS = Math.min(this.#restingSinceS, ptsS);
    this.#lookedS = ptsS;
  }

  /** Counts pictures that nobody looks at, since nothing in them moves. */
  passOver(count: number): void {
    this.#frames += count;
  }

  /** One estimate per picture. */
  estimates(): CameraEstimate[] {
    const known = this.estimator.putRight();
    const looks = this.#looks.map((look, i): Look => {
      const estimate = known.get(i);
      return estimate ? { ...look, estimate, isAway: strayPx(estimate, this.size) > stillWithinPx } : look;
    });
    const before = looks
      .slice(0, 1)
      .flatMap(({ frame, estimate }) => Array<CameraEstimate>(frame).fill(estimate));
    const fromFirst = looks.flatMap((here, i) => {
      const next = looks.at(i + 1);
      const until = next?.frame ?? this.#frames;
      const isMisjudged = next?.isAway && !looks.at(i + 2)?.isAway;
      return Array.from({ length: until - here.frame }, (_, k) =>
        next && !isMisjudged
          ? between(here.estimate, next.estimate, k / (until - here.frame))
          : here.estimate,
      );
    });
    return [...before, ...fromFirst];
  }
}
