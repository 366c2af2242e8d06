import { z } from 'zod';
import { facingSchema } from './lift.ts';

/** What the container and the decode pass say of a clip; sizes are of the picture as displayed. */
export const mediaInfoSchema = z.object({
  file: z.string(),
  bytes: z.number(),
  sha256: z.string(),
  container: z.string(),
  codec: z.string(),
  bitDepth: z.number(),
  /** Displayed width and height: after rotation metadata and pixel aspect ratio. */
  widthPx: z.number(),
  heightPx: z.number(),
  /** Clockwise turn applied for display, degrees. */
  rotationDeg: z.union([z.literal(0), z.literal(90), z.literal(180), z.literal(270)]),
  pixelAspect: z.number(),
  /** Transfer characteristic as tagged ("bt709", "arib-std-b67", "smpte2084", ...), null when untagged. */
  transfer: z.string().nullable(),
  hasAudio: z.boolean(),
  /** Frames the container declares; null where it declares none. */
  declaredFrames: z.number().nullable(),
  durationS: z.number(),
  nominalFps: z.number(),
  /** Capture rate as tagged by the phone, frames per second; null when untagged. */
  captureFps: z.number().nullable(),
});
export type MediaInfo = z.infer<typeof mediaInfoSchema>;

/** What the decode pass found in time. */
export const timingSchema = z.object({
  decodedFrames: z.number(),
  /** Fewer frames than declared: the file is cut short or damaged. */
  partial: z.boolean(),
  firstPtsS: z.number(),
  lastPtsS: z.number(),
  medianIntervalS: z.number(),
  /** 95th percentile over median of the intervals between frames; 1 is even. */
  unevenness: z.number(),
  duplicatedFrames: z.number(),
});
export type Timing = z.infer<typeof timingSchema>;

export const verdictSchema = z.enum(['good', 'poor', 'cannot carry']);
export type Verdict = z.infer<typeof verdictSchema>;

/** What the clip can carry: figures, a verdict for each kind of measure, and how to film it better. */
export const clipCheckSchema = z.object({
  offSquareDeg: z.number(),
  offSquareU95Deg: z.number(),
  rollDeg: z.number(),
  rollU95Deg: z.number(),
  /** Camera shake, RMS over the clip, displayed pixels. */
  shakePx: z.number(),
  fps: z.number(),
  unevenness: z.number(),
  duplicatedFrames: z.number(),
  /** Width of the smear at the bar's peak speed, displayed pixels; null when not estimated. */
  blurPx: z.number().nullable(),
  discDiameterPx: z.number(),
  /** Share of the rep's samples that are not seen, 0 to 1. */
  hiddenShare: z.number(),
  verdicts: z.object({
    drift: verdictSchema,
    vertical: verdictSchema,
    velocity: verdictSchema,
    tempo: verdictSchema,
  }),
  /** Where the bar moves as no lifter's does: a sentence that says so and one that says what to do. */
  improbable: z.object({ said: z.string(), advice: z.string() }).optional(),
  /** Plain sentences: what stands in the way and how to film it better. */
  advice: z.array(z.string()),
});
export type ClipCheck = z.infer<typeof clipCheckSchema>;

/** How pixels became metres, with the standard uncertainties that the comparison draws from. */
export const calibrationSchema = z.object({
  discM: z.number(),
  /** One sigma of the disc's diameter, metres. */
  discSigmaM: z.number(),
  /** How much larger than it is taken to be the disc is expected to be, metres; part of its sigma. Nothing where absent. */
  discOffsetM: z.number().optional(),
  metresPerPx: z.number(),
  /** One-sigma of the rim's size, relative. */
  rimScaleSigma: z.number(),
  /** Angle off square from the rim's axis ratio, radians, and its one sigma. */
  offSquareRad: z.number(),
  offSquareSigmaRad: z.number(),
  /** Camera roll taken out, radians, positive when the picture's up leans to the right; and its one sigma. */
  rollRad: z.number(),
  rollSigmaRad: z.number(),
  plumb: z.enum(['none', 'proposed', 'user']),
  /** Where the camera stands, when enough pictures show the rim to say; the distance is square to the bar plane. */
  camera: z
    .object({
      /** The side of square it stands on, as seen from it. */
      side: z.enum(['left', 'right']),
      distanceM: z.number(),
      distanceSigmaM: z.number(),
      focalPx: z.number(),
    })
    .optional(),
  /** Where the sleeve's end was followed: how far it stands out, and what its movement was multiplied by. */
  sleeveEnd: z
    .object({ proudM: z.number(), cameraM: z.number(), factor: z.number(), factorSigma: z.number() })
    .optional(),
  /** Time from reading a picture's first row to its last, real seconds, and one sigma; absent where it could not be measured. */
  readOut: z.object({ s: z.number(), sigmaS: z.number() }).optional(),
  facing: facingSchema,
  /** Real seconds are file seconds divided by this: capture rate over playback rate. */
  slowMotion: z.number(),
  slowMotionSource: z.enum(['none', 'tag', 'user']),
  seed: z.object({
    ptsS: z.number(),
    xPx: z.number(),
    yPx: z.number(),
    source: z.enum(['found', 'user']),
    /** Where it was found: how sure it is that this is the near disc, 0 to 1. */
    sureness: z.number().optional(),
  }),
});
export type Calibration = z.infer<typeof calibrationSchema>;

export const clipFileSchema = z.object({
  schema: z.literal(1),
  media: mediaInfoSchema,
  timing: timingSchema,
  calibration: calibrationSchema,
  check: clipCheckSchema,
  smoothing: z.object({ method: z.string(), cutoffHz: z.number() }),
  notes: z.array(z.string()),
});
export type ClipFile = z.infer<typeof clipFileSchema>;
