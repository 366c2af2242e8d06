import { z } from 'zod';

export const sampleStateSchema = z.enum(['seen', 'bridged', 'lost']);
/** seen: measured; bridged: estimated across a gap between measured samples; lost: no estimate. */
export type SampleState = z.infer<typeof sampleStateSchema>;

/**
 * The rim of the disc's near face in the picture: an ellipse in displayed pixels of its frame.
 * `aPx` is the semi-major, `bPx` the semi-minor axis; `thetaRad` is the direction of the major axis,
 * from +x toward +y (y down), in (-pi/2, pi/2].
 */
export interface Rim {
  xPx: number;
  yPx: number;
  aPx: number;
  bPx: number;
  thetaRad: number;
}

/**
 * The bar in one frame, as measured in the picture. Lost samples carry NaN positions.
 * Standard uncertainties are one sigma, of the disc's centre, in displayed pixels.
 */
export interface TraceSample {
  frame: number;
  /** The frame's own presentation time stamp, seconds of file time. */
  ptsS: number;
  xPx: number;
  yPx: number;
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
  /** Semi-axis of the rim along the picture's vertical, for local scale; NaN when not measured. */
  rimRadiusPx: number;
  /** 0 to 1: how well this picture supports the position; 0 where nothing was measured. */
  confidence: number;
  state: SampleState;
  /** Maps this frame's pixels to the first frame's: the camera's own motion taken out. */
  camera: CameraMotion;
}

/** Similarity: x' = scale (cos r x - sin r y) + txPx, y' = scale (sin r x + cos r y) + tyPx. */
export const cameraMotionSchema = z.object({
  scale: z.number(),
  rotationRad: z.number(),
  txPx: z.number(),
  tyPx: z.number(),
});
export type CameraMotion = z.infer<typeof cameraMotionSchema>;

export const stillCamera: CameraMotion = { scale: 1, rotationRad: 0, txPx: 0, tyPx: 0 };

/** Frames [from, to). */
export interface FrameStretch {
  from: number;
  to: number;
}

export interface Trace {
  samples: TraceSample[];
  /** Frames that nobody looked at, since by the key frames nothing in the picture moves: they are lost, too. */
  leftOut?: readonly FrameStretch[];
  /** The rim pooled over the clip's sharp frames, centred at the frame it was found in. */
  rim: Rim;
  /** One-sigma standard uncertainties of the pooled rim's semi-axes, displayed pixels. */
  rimSigma: { aPx: number; bPx: number };
  /** Frames that repeat the picture before them; they are bridged, since they show an earlier moment. */
  repeated?: readonly number[];
  /** When each frame's picture was taken, seconds of file time; only where the film was brought to another frame rate. */
  takenS?: readonly number[];
  /** How the camera stands to the bar plane; missing where too few pictures show a rim. */
  pose?: CameraPose;
  /** Upright edges of the background, in pixels of the first frame. */
  uprights?: readonly UprightEdge[];
  /** Share of the frames in which enough background was seen to tell whether the camera moved. */
  backgroundShare?: number;
  /** How long the camera takes to read its rows, file time; missing where no disc moved enough to say. */
  readOut?: ReadOut;
  /** How long the shutter was open; missing where the bar is too slow in the picture to tell. */
  shutter?: Shutter;
  /** One sigma of the Gaussian that grainy pictures were softened with before anything was measured in them, pixels; missing where they were not. */
  softeningPx?: number;
  /** How the lens bends straight lines, where the uprights bow enough to say. */
  lens?: LensBow;
}

/** How long the shutter was open for each picture, and one sigma: seconds of file time. */
export interface Shutter {
  exposureS: number;
  sigmaS: number;
}

/**
 * A pinhole before the bar plane. Camera axes are x right, y down, z into the scene; lengths are in radii of the disc,
 * so that the pose holds whatever the disc's size turns out to be.
 */
export interface CameraPose {
  focalPx: number;
  /** Where the camera's axis meets the picture. */
  cxPx: number;
  cyPx: number;
  /** Unit normal of the bar plane, to the camera's side: the plane is normal . X = -distanceRadii. */
  normal: readonly [x: number, y: number, z: number];
  distanceRadii: number;
  thicknessRadii: number;
  /** Rings on the face: their share of the disc's radius, and how far they stand out from it. */
  rings: readonly { share: number; outRadii: number }[];
  /**
   * One sigma: of the logarithm of the focal length; of the normal's turn about the picture's vertical, and of how great that
   * turn is to whichever side; of its turn about the horizontal; of the rim's size, relative.
   */
  sigma: { logFocal: number; yawRad: number; offSquareRad: number; pitchRad: number; size: number };
  /** From where the disc was followed to the centre of its near face, px, in the middle of the path. */
  offset: { dxPx: number; dyPx: number };
  /** How much better the pictures agree with this side of the tilt than with the other, log likelihood. */
  sideMargin: number;
}

/** A straight edge of the background that may stand upright: its middle and how far it leans to the right. */
export interface UprightEdge {
  xPx: number;
  yPx: number;
  lengthPx: number;
  leanRad: number;
  leanSigmaRad: number;
  /** How far it bows to the right between its ends, and one sigma. */
  bowPx: number;
  bowSigmaPx: number;
}

/** Time from reading a picture's first row to reading its last, seconds, and one sigma. */
export interface ReadOut {
  s: number;
  sigmaS: number;
}

/** Radial distortion: a point at r from the picture's middle, in half its longer side, is seen at r (1 + kappa r²). */
export interface LensBow {
  kappa: number;
  /** One sigma. */
  sigma: number;
}
