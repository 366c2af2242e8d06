import type { Calibration, MediaInfo } from '../contract/clip.ts';
import type { Facing } from '../contract/lift.ts';
import type { CameraMotion, CameraPose, LensBow, Trace } from '../contract/trace.ts';
import { straightened } from '../camera/lens-bow.ts';
import { along, dot, normalOf, onPlane, rayThrough, type Lens, type Vec3 } from '../camera/pinhole.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { usualFocalLength } from '../norms/phones.ts';

/** How a clip's camera sees what lies behind the disc. */
export interface BodyCamera {
  pose: CameraPose;
  discM: number;
  /** One sigma of the disc's diameter, relative. */
  discSigma: number;
  rollRad: number;
  rollSigmaRad: number;
  facing: Facing;
  picture: { widthPx: number; heightPx: number };
  lens: LensBow | undefined;
}

/** A phone's focal length where nothing shows it: one sigma of its logarithm, common practice. */
const unknownFocalSigma = 0.25;

/** The camera as the disc's rim shows it; where no pose could be fitted, a usual phone at the rim's distance and angle. */
export function bodyCameraOf(
  trace: Pick<Trace, 'pose' | 'lens' | 'samples'>,
  calibration: Calibration,
  { widthPx, heightPx }: Pick<MediaInfo, 'widthPx' | 'heightPx'>,
): BodyCamera {
  const { discM, discSigmaM, rollRad, rollSigmaRad, facing } = calibration;
  const picture = { widthPx, heightPx };
  const seen = trace.samples.find((s) => s.state !== 'lost');
  const [xPx, yPx] = seen ? applySimilarity(seen.camera, seen.xPx, seen.yPx) : [widthPx / 2, heightPx / 2];
  return {
    pose: trace.pose ?? usualPose(calibration, picture, xPx, yPx),
    discM,
    discSigma: discSigmaM / discM,
    rollRad,
    rollSigmaRad,
    facing,
    picture,
    lens: trace.lens,
  };
}

function usualPose(
  c: Calibration,
  { widthPx, heightPx }: BodyCamera['picture'],
  xPx: number,
  yPx: number,
): CameraPose {
  const lens: Lens = {
    focalPx: usualFocalLength * Math.max(widthPx, heightPx),
    cxPx: (widthPx - 1) / 2,
    cyPx: (heightPx - 1) / 2,
  };
  const normal = normalOf(c.offSquareRad, 0);
  const bar = along([0, 0, 0], rayThrough(lens, xPx, yPx), lens.focalPx * c.metresPerPx);
  return {
    ...lens,
    normal,
    distanceRadii: -dot(normal, bar) / (c.discM / 2),
    thicknessRadii: 0,
    rings: [],
    sigma: {
      logFocal: unknownFocalSigma,
      yawRad: c.offSquareSigmaRad,
      offSquareRad: c.offSquareSigmaRad,
      pitchRad: 0.05,
      size: c.rimScaleSigma,
    },
    offset: { dxPx: 0, dyPx: 0 },
    // The rim's shape alone leaves the side open.
    sideMargin: 0,
  };
}

/** A pixel of a frame as the pinhole sees it in the first frame's picture. */
export function steadyPixel(
  { lens, picture }: Pick<BodyCamera, 'lens' | 'picture'>,
  motion: CameraMotion,
  xPx: number,
  yPx: number,
): readonly [xPx: number, yPx: number] {
  return straightened(lens, picture, ...applySimilarity(motion, xPx, yPx));
}

/** Where the bar's near end is in camera axes, metres, with the camera as it was fitted. */
export function barInCamera({ pose, discM }: BodyCamera, xPx: number, yPx: number): Vec3 {
  return onPlane(
    pose,
    { normal: pose.normal, distanceM: (pose.distanceRadii * discM) / 2 },
    xPx + pose.offset.dxPx,
    yPx + pose.offset.dyPx,
  );
}
