import type { CameraMotion, Trace, UprightEdge } from '../contract/trace.ts';
import { applySimilarity } from '../picture/similarity.ts';

interface Picture {
  widthPx: number;
  heightPx: number;
}

/** Pictures whose longer side has this many pixels are measured at half their size: a disc fills enough of them still. */
const leastHalvedPx = 3200;

/** How many pixels of the clip, as displayed, lie along one of the pictures that are measured. */
export const pxPerMeasured = ({ widthPx, heightPx }: Picture): 1 | 2 =>
  Math.max(widthPx, heightPx) >= leastHalvedPx && widthPx % 2 === 0 && heightPx % 2 === 0 ? 2 : 1;

/** A place in the measured picture, whose pixels are `factor` of the clip's, as a place in the clip: centres at whole numbers. */
export const inClip = (px: number, factor: number): number => factor * (px + 0.5) - 0.5;
/** The other way round. */
export const inMeasured = (px: number, factor: number): number => (px + 0.5) / factor - 0.5;

/** A trace that was measured in smaller pictures, in pixels of the clip as displayed. */
export function traceInClip(trace: Trace, factor: number): Trace {
  if (factor === 1) return trace;
  const at = <At extends { xPx: number; yPx: number }>(of: At): At => ({
    ...of,
    xPx: inClip(of.xPx, factor),
    yPx: inClip(of.yPx, factor),
  });
  const { rim, rimSigma, pose, uprights } = trace;
  return {
    ...trace,
    samples: trace.samples.map((sample) => ({
      ...at(sample),
      varXPx2: factor ** 2 * sample.varXPx2,
      varYPx2: factor ** 2 * sample.varYPx2,
      covXYPx2: factor ** 2 * sample.covXYPx2,
      rimRadiusPx: factor * sample.rimRadiusPx,
      camera: motionInClip(sample.camera, factor),
    })),
    rim: { ...at(rim), aPx: factor * rim.aPx, bPx: factor * rim.bPx },
    rimSigma: { aPx: factor * rimSigma.aPx, bPx: factor * rimSigma.bPx },
    ...(trace.softeningPx ? { softeningPx: factor * trace.softeningPx } : {}),
    ...(pose
      ? {
          pose: {
            ...pose,
            focalPx: factor * pose.focalPx,
            cxPx: inClip(pose.cxPx, factor),
            cyPx: inClip(pose.cyPx, factor),
            offset: { dxPx: factor * pose.offset.dxPx, dyPx: factor * pose.offset.dyPx },
          },
        }
      : {}),
    ...(uprights
      ? {
          uprights: uprights.map((edge): UprightEdge => ({
            ...at(edge),
            lengthPx: factor * edge.lengthPx,
            bowPx: factor * edge.bowPx,
            bowSigmaPx: factor * edge.bowSigmaPx,
          })),
        }
      : {}),
  };
}

/** A similarity of measured pixels as one of the clip's. */
function motionInClip(motion: CameraMotion, factor: number): CameraMotion {
  const origin = inMeasured(0, factor);
  const [x, y] = applySimilarity(motion, origin, origin);
  return { ...motion, txPx: inClip(x, factor), tyPx: inClip(y, factor) };
}
