import { z } from 'zod';
import { clipCheckSchema, clipFileSchema } from './clip.ts';
import { pairFileSchema, repFileEntrySchema } from './files.ts';
import { measureNames } from './measures.ts';
import { callSchema } from './pair.ts';
import { outcomeSchema } from './rep.ts';
import { movableEventSchema } from './review.ts';
import { cameraMotionSchema, sampleStateSchema } from './trace.ts';

const numbers = z.array(z.number());
/** JSON has no NaN: lost samples travel as null. */
const sometimes = z.array(z.number().nullable());

/** The bar in every frame of a clip, one entry a frame. */
export const frameTrackSchema = z.object({
  /** File time, seconds. */
  ptsS: numbers,
  /** Real time since the first frame, seconds. */
  tS: numbers,
  /** The disc's centre, displayed pixels; null where it was lost. */
  xPx: sometimes,
  yPx: sometimes,
  confidence: numbers,
  state: z.array(sampleStateSchema),
  /** Frames [from, to) that nobody looked at, since by the key frames nothing in the picture moves. */
  leftOut: z.array(z.object({ from: z.number(), to: z.number() })),
  /** Maps each frame's pixels to the first frame's; empty where the camera stood still. */
  camera: z.array(cameraMotionSchema),
});
export type FrameTrack = z.infer<typeof frameTrackSchema>;

export const barPathSchema = z.object({ tS: numbers, xM: sometimes, yM: sometimes, vyMps: sometimes });
export const phaseSchema = z.object({
  name: z.enum(['set-up', 'descent', 'pause', 'drive', 'hold']),
  fromS: z.number(),
  toS: z.number(),
});
export const eventMarkSchema = z.object({ name: z.string(), tS: z.number() });

export const rimSchema = z.object({
  xPx: z.number(),
  yPx: z.number(),
  aPx: z.number(),
  bPx: z.number(),
  thetaRad: z.number(),
});

/** One clip, followed: what Follow shows and Line up starts from. */
export const followedSideSchema = z.object({
  clip: clipFileSchema,
  track: frameTrackSchema,
  rim: rimSchema,
  /** Reps found in the clip; `reps` holds the chosen one. */
  repCount: z.number().int(),
  reps: z.array(
    z.object({
      rep: repFileEntrySchema,
      window: z.object({ fromS: z.number(), toS: z.number() }),
      path: barPathSchema,
      phases: z.array(phaseSchema),
      events: z.array(eventMarkSchema),
      /** Where the rep's origin lies in the first frame, displayed pixels, and one metre there in pixels. */
      originPx: z.object({ xPx: z.number(), yPx: z.number() }),
    }),
  ),
});
export type FollowedSide = z.infer<typeof followedSideSchema>;

/** One clip's reps as Follow shows them, each measured at the posterior mean. */
export const measuredSideSchema = z.object({
  check: clipCheckSchema,
  notes: z.array(z.string()),
  reps: z.array(
    z.object({
      window: z.object({ fromS: z.number(), toS: z.number() }),
      path: barPathSchema,
      phases: z.array(phaseSchema),
      events: z.array(
        z.object({
          event: movableEventSchema,
          tS: z.number(),
          /** Where the program found it. */
          foundS: z.number(),
          byHand: z.boolean(),
          /** The disc was not seen then: the time is a guess. */
          hidden: z.boolean(),
        }),
      ),
      outcome: outcomeSchema,
      values: z.record(z.enum(measureNames), z.number().nullable()),
    }),
  ),
});
export type MeasuredSide = z.infer<typeof measuredSideSchema>;

const pixelSchema = z.tuple([z.number(), z.number()]);

export const headlineSchema = z.object({
  name: z.string(),
  sentence: z.string(),
  call: callSchema.nullable(),
  delta: z.number().nullable(),
});

/** A pair, compared: what Line up shows. */
export const lineUpSchema = z.object({
  pair: pairFileSchema,
  reference: followedSideSchema,
  today: followedSideSchema,
  /** Today's pictures are shown left for right, so that both lifters face the same way. */
  mirrorToday: z.boolean(),
  headlines: z.array(headlineSchema),
  /** The other rep's way laid into each side's own picture, pixels of its first frame. */
  otherPathPx: z.object({ reference: z.array(pixelSchema), today: z.array(pixelSchema) }),
});
export type LineUp = z.infer<typeof lineUpSchema>;
