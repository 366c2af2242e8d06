import type { Rim } from '../../shared-lib/contract/trace.ts';
import { fitEllipse } from '../../shared-lib/picture/ellipse-fit.ts';
import { projectCircle } from '../scene/camera.ts';
import { appearance, type Shot } from '../scene/shot.ts';
import type { DiscFace } from '../scene/disc-face.ts';
import { add, scale } from '../scene/vec.ts';

const points = 16;

/**
 * The outline of a disc's face in the picture of a moment: exact where rows are read at once through a straight lens,
 * else the ellipse through places where points of the outline appear.
 */
export function apparentRim(shot: Shot, tS: number, faceAt: (tS: number) => DiscFace, radiusM: number): Rim {
  const camera = shot.cameraAt(tS);
  if (!camera.lens && shot.rowDelayS(0) === 0) {
    const { centre, right, up } = faceAt(tS);
    return projectCircle(camera, centre, right, up, radiusM);
  }
  const seen = Array.from({ length: points }, (_, i) => {
    const angle = (2 * Math.PI * i) / points;
    return appearance(shot, tS, (atS) => {
      const { centre, right, up } = faceAt(atS);
      return add(centre, add(scale(right, radiusM * Math.cos(angle)), scale(up, radiusM * Math.sin(angle))));
    });
  });
  const rim = fitEllipse(
    seen.map((p) => p.xPx),
    seen.map((p) => p.yPx),
  );
  if (!rim) throw new Error('The disc has no outline in the picture.');
  return rim;
}
