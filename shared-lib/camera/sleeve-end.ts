import type { Calibration } from '../contract/clip.ts';
import type { SleeveEnd, StatedRim } from '../contract/review.ts';
import type { CameraMotion, Trace, TraceSample } from '../contract/trace.ts';
import { usualFocalPx, usualFocalSigma } from '../norms/phones.ts';
import { applySimilarity, invertSimilarity } from '../picture/similarity.ts';
import { handAxisSigmaPx, nearestSeen } from './stated-rim.ts';

/**
 * A sleeve is 415 mm long (men's bar, shared-lib/norms/bars.ts) and carries discs and a collar over 5 to 35 cm of it
 * (common practice): how far its end stands out from the ruler's face is anything between, mean and one sigma.
 */
const usualProudM = { mean: 0.215, sigma: 0.3 / Math.sqrt(12) };
/** Lengths that a user measured: one sigma, metres, common practice. */
const measuredProudSigmaM = 0.01;
const measuredCameraSigmaM = 0.15;

export type SleeveEndFactor = NonNullable<Calibration['sleeveEnd']>;

/**
 * The sleeve's end is nearer to the camera than the disc, so that its picture moves too far: through a pinhole by
 * distance / (distance - proud), both along the camera's axis (design's "Follow the disc's centre").
 *
 * @param rim the disc's rim, which says how far off square it is seen and, with the usual lens, how far away
 * @returns what the end's movement in the picture is to be multiplied by, and its one sigma
 */
export function sleeveEndFactor(
  { proudM, cameraM }: Pick<SleeveEnd, 'proudM' | 'cameraM'>,
  rim: Pick<StatedRim, 'aPx' | 'bPx'>,
  picture: { widthPx: number; heightPx: number },
  discM: number,
): SleeveEndFactor {
  const away = cameraM ?? (usualFocalPx(picture) * discM) / 2 / rim.aPx;
  const awaySigma = cameraM === null ? away * usualFocalSigma : measuredCameraSigmaM;
  const proud = proudM ?? usualProudM.mean;
  const proudSigma = proudM === null ? usualProudM.sigma : measuredProudSigmaM;
  const square = rim.bPx / rim.aPx;
  const share = (proud * square) / away;
  return {
    proudM: proud,
    cameraM: away,
    factor: 1 - share,
    factorSigma: Math.hypot((proudSigma * square) / away, (share * awaySigma) / away),
  };
}

/**
 * The trace of the disc's centre from that of the sleeve's end: where the rim was drawn the disc is where it was drawn,
 * and elsewhere it has moved from there as the end has, made smaller.
 */
export function discFromSleeveEnd(trace: Trace, rim: StatedRim, { factor }: SleeveEndFactor): Trace {
  const anchor = nearestSeen(trace, rim.ptsS);
  const [endX, endY] = applySimilarity(anchor.camera, anchor.xPx, anchor.yPx);
  const [discX, discY] = applySimilarity(anchor.camera, rim.xPx, rim.yPx);
  const moved = (sample: TraceSample): TraceSample => {
    if (sample.state === 'lost') return sample;
    const [x, y] = applySimilarity(sample.camera, sample.xPx, sample.yPx);
    const [xPx, yPx] = inFrame(sample.camera, discX + factor * (x - endX), discY + factor * (y - endY));
    return {
      ...sample,
      xPx,
      yPx,
      varXPx2: factor ** 2 * sample.varXPx2,
      varYPx2: factor ** 2 * sample.varYPx2,
      covXYPx2: factor ** 2 * sample.covXYPx2,
    };
  };
  const { scale, rotationRad } = anchor.camera;
  const axisPx = scale * handAxisSigmaPx(rim);
  return {
    ...trace,
    samples: trace.samples.map(moved),
    rim: {
      xPx: discX,
      yPx: discY,
      aPx: scale * rim.aPx,
      bPx: scale * rim.bPx,
      thetaRad: rim.thetaRad + rotationRad,
    },
    rimSigma: { aPx: axisPx, bPx: axisPx },
  };
}

const inFrame = (camera: CameraMotion, xPx: number, yPx: number) =>
  applySimilarity(invertSimilarity(camera), xPx, yPx);

/** The calibration of a trace of the disc that was made from the sleeve's end: every length depends on the factor. */
export const withFactor = (calibration: Calibration, sleeveEnd: SleeveEndFactor): Calibration => ({
  ...calibration,
  rimScaleSigma: Math.hypot(calibration.rimScaleSigma, sleeveEnd.factorSigma / sleeveEnd.factor),
  sleeveEnd,
});
