import type { MediaInfo } from '../../../shared-lib/contract/clip.ts';
import { summariseTiming } from '../../../shared-lib/motion/timing.ts';

/** Limits below are common practice. */
const leastFps = 50;
const mostUneven = 1.2;
const leastSlow = 1.5;
const leastShortSidePx = 700;

/** What reading a clip tells already of how well it can be measured, and how to film it better; plain sentences. */
export function firstHints(media: MediaInfo, ptsS: readonly number[]): string[] {
  const { widthPx, heightPx, nominalFps, captureFps } = media;
  const hints: string[] = [];
  const { unevenness } = summariseTiming([...ptsS], media.declaredFrames, 0);
  if (captureFps !== null && captureFps / nominalFps >= leastSlow)
    hints.push(`Taken at ${Math.round(captureFps)} frames a second: slow motion, to be confirmed on Set up.`);
  else if (nominalFps < leastFps)
    hints.push('Film at 60 frames a second: the turn and the sticking point then show more surely.');
  if (unevenness > mostUneven)
    hints.push('The time between frames varies; each frame’s own time is used. A fixed frame rate is surer.');
  if (Math.min(widthPx, heightPx) < leastShortSidePx)
    hints.push('The picture is small, as when it was sent by message: ask for the original file.');
  if (heightPx > widthPx)
    hints.push(
      'Filmed upright: that is fine as long as the disc stays in the picture from start to lockout.',
    );
  return hints;
}
