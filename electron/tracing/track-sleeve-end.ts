import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import type { SleeveEnd, StatedRim } from '../../shared-lib/contract/review.ts';
import { seededRandom } from '../../shared-lib/motion/random.ts';
import { nearestFrame } from '../../shared-lib/motion/frame-times.ts';
import { barNorms } from '../../shared-lib/norms/bars.ts';
import { usualDiscRadiusM } from '../../shared-lib/norms/discs.ts';
import { usualFocalPx } from '../../shared-lib/norms/phones.ts';
import type { Box } from '../../shared-lib/picture/corners.ts';
import { assembleTrace } from '../../shared-lib/trace/assemble-trace.ts';
import { CameraMotionEstimator } from '../../shared-lib/trace/camera-motion.ts';
import { RestingCamera } from '../../shared-lib/trace/resting-camera.ts';
import { settleCameraMotion } from '../../shared-lib/trace/camera-motion-settle.ts';
import type { DiscMeasurement } from '../../shared-lib/trace/follow-disc.ts';
import { nearDisc } from '../../shared-lib/trace/near-disc.ts';
import type { PointMeasurement } from '../../shared-lib/trace/follow-point.ts';
import { UprightCollector } from '../../shared-lib/trace/upright-collector.ts';
import { decodeAhead, ringFor } from './decode-ahead.ts';
import { followPointInClip } from './follow-point-in-clip.ts';
import { giveBack } from './load-kernels.ts';
import type { TrackedClip, TrackOptions } from './track-clip.ts';

export interface SleeveEndRequest {
  file: string;
  ffmpeg: string;
  media: MediaInfo;
  sleeveEnd: Pick<SleeveEnd, 'ptsS' | 'xPx' | 'yPx'>;
  /** The disc's rim as drawn: says how large the end is in the picture. */
  rim: StatedRim;
}

/** What is taken for the end's surroundings too: its edge must lie inside the patch. */
const patchWidthM = 1.3 * barNorms.weightliftingMen.sleeveDiameterM[0];
/** Beside the end the lifter moves, over this many of the disc's radii to each side; the bar goes up and down there. */
const movingRadii = 1.3;
/** What light and compression leave on a round steel face besides grey noise, one sigma, px (measured on rendered clips). */
const steelSigmaPx = 0.15;
/** Share of the work that the look at the whole clip for the camera's motion takes. */
const cameraShare = 0.5;

/**
 * Follows the end of the sleeve from the picture it was pointed at in. The trace is that of the end; its rim's size is
 * the drawn one.
 */
export async function trackSleeveEnd(
  request: SleeveEndRequest,
  options: TrackOptions = {},
): Promise<TrackedClip> {
  const { file, ffmpeg, media, sleeveEnd, rim } = request;
  const signal = options.signal ?? new AbortController().signal;
  const size = { width: media.widthPx, height: media.heightPx, bitDepth: media.bitDepth };
  const random = seededRandom(1);
  const background = new CameraMotionEstimator(() => random.uniform(), usualFocalPx(media));
  const camera = new RestingCamera(background, media);
  const uprights = new UprightCollector(media.durationS);
  const times: number[] = [];
  const moving: Box[] = [
    {
      x0Px: sleeveEnd.xPx - movingRadii * rim.aPx,
      x1Px: sleeveEnd.xPx + movingRadii * rim.aPx,
      y0Px: 0,
      y1Px: media.heightPx,
    },
  ];
  const ring = ringFor(media);
  try {
    for await (const { ptsS, image } of decodeAhead(file, { ffmpeg, ...size, ring, signal })) {
      camera.look(image, ptsS, moving);
      uprights.look(image, ptsS, times.length);
      times.push(ptsS);
      if (times.length % 10 === 0) options.onProgress?.(cameraShare * Math.min(1, ptsS / media.durationS));
    }
  } finally {
    giveBack(ring);
  }
  const places = await followPointInClip(
    {
      ...{ file, ffmpeg, media, ptsS: times },
      mark: { frame: nearestFrame(times, sleeveEnd.ptsS), xPx: sleeveEnd.xPx, yPx: sleeveEnd.yPx },
      called: 'sleeve’s end',
      widthM: patchWidthM,
      from: 0,
      to: times.length - 1,
      metresPerPx: usualDiscRadiusM / rim.aPx,
    },
    { signal, onProgress: (share) => options.onProgress?.(cameraShare + (1 - cameraShare) * share) },
  );
  const measurements = places.map((place, i) => measured(times[i], place));
  const settled = nearDisc(settleCameraMotion(camera.estimates(), media), measurements, media);
  const trace = assembleTrace(measurements, rim, settled);
  return {
    trace: {
      ...trace,
      backgroundShare: settled.seenShare,
      uprights: uprights.uprights(settled.motions, () => moving),
    },
    seed: { ptsS: sleeveEnd.ptsS, xPx: sleeveEnd.xPx, yPx: sleeveEnd.yPx, source: 'user' },
  };
}

function measured(tS: number, { xPx, yPx, sigmaPx, confidence }: PointMeasurement): DiscMeasurement {
  const variance = sigmaPx ** 2 + steelSigmaPx ** 2;
  return {
    ...{ tS, xPx, yPx, confidence },
    varXPx2: variance,
    varYPx2: variance,
    covXYPx2: 0,
    radiusPx: NaN,
    rim: null,
    rimShare: 0,
    tall: NaN,
    skew: NaN,
    turnRad: NaN,
  };
}
