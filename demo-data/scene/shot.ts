import { handOf, movesAtAll } from '../film/hand.ts';
import { motionOf } from '../motion/bar-motion.ts';
import { makeCamera, project, type Camera, type Turn } from './camera.ts';
import { makeLens, type PicturePoint } from './lens.ts';
import type { SceneSpec } from './spec.ts';
import type { Vec3 } from './vec.ts';

/** How a clip is filmed: where the camera looks at any real time, and when each row of a picture is read. */
export interface Shot {
  /** The camera turns or zooms during the clip. */
  moves: boolean;
  turnAt: (tS: number) => Turn;
  /** The camera that takes the picture of a moment, which is its middle row's. */
  cameraAt: (tS: number) => Camera;
  /** Real time between the middle row's exposure and this row's, seconds. */
  rowDelayS: (yPx: number) => number;
}

export function shotOf(spec: SceneSpec): Shot {
  const { widthPx, heightPx, readOutS } = spec.film;
  const { lensK1, lensK2, focalPx } = spec.camera;
  const lens = makeLens(lensK1, lensK2, focalPx, widthPx, heightPx);
  const turnAt = handOf(spec.camera, motionOf(spec).durationS, spec.seed);
  const moves = movesAtAll(spec.camera);
  const perRowS = readOutS / (heightPx - 1);
  const middleRow = (heightPx - 1) / 2;
  const rowDelayS = (yPx: number): number => (yPx - middleRow) * perRowS;
  const instant = (tS: number): Camera => makeCamera(spec.camera, widthPx, heightPx, turnAt(tS), lens);
  return {
    moves,
    turnAt,
    rowDelayS,
    cameraAt(tS) {
      const camera = instant(tS);
      if (moves && readOutS > 0) camera.ofRow = (yPx) => instant(tS + rowDelayS(yPx));
      return camera;
    },
  };
}

/** Where a moving point appears in the picture of a moment: on the row that is read while it is there. */
export function appearance(shot: Shot, tS: number, pointAt: (tS: number) => Vec3): PicturePoint {
  const camera = shot.cameraAt(tS);
  let at = project(camera, pointAt(tS));
  // The row converges by the share of a frame's height that the point crosses in the read-out: a few per cent a step.
  for (let step = 0; step < 8; step++) {
    const seen = camera.ofRow ? camera.ofRow(at.yPx) : camera;
    const next = project(seen, pointAt(tS + shot.rowDelayS(at.yPx)));
    const moved = Math.hypot(next.xPx - at.xPx, next.yPx - at.yPx);
    at = next;
    if (moved < 1e-9) break;
  }
  return at;
}
