import type { MediaInfo } from '../contract/clip.ts';
import { usualFocalPx } from '../norms/phones.ts';
import { conformalPicture, motionNear } from '../picture/conformal-picture.ts';
import type { SettledMotion } from './camera-motion-settle.ts';
import type { DiscMeasurement } from './follow-disc.ts';

/** A camera's motion as similarities of displayed pixels that hold where the disc is; where it is not known, where it was last. */
export function nearDisc(
  settled: SettledMotion,
  measurements: readonly DiscMeasurement[],
  media: Pick<MediaInfo, 'widthPx' | 'heightPx'>,
): SettledMotion {
  if (!settled.moved) return settled;
  const space = conformalPicture({ width: media.widthPx, height: media.heightPx }, usualFocalPx(media));
  let [x, y] = [media.widthPx / 2, media.heightPx / 2];
  const motions = settled.motions.map((motion, i) => {
    const at = measurements.at(i);
    if (at && at.confidence > 0) [x, y] = [at.xPx, at.yPx];
    return motionNear(space, motion, x, y);
  });
  return { ...settled, motions };
}
