import { z } from 'zod';
import { bodyMarkSchema } from './body.ts';
import { pointMarkSchema } from './second-point.ts';
import { circumstancesSchema, nothingAsked } from './circumstances.ts';
import { coachingSchema } from './coaching.ts';
import { facingSchema, liftSchema } from './lift.ts';

/** How the disc's diameter is known: with a tape, by the competition's rule, or as discs of its mass usually are. */
export const discKnownSchema = z.enum(['measured', 'rule', 'usual']);
export type DiscKnown = z.infer<typeof discKnownSchema>;

/** A sample that a person set: the disc's centre in one frame, displayed pixels of that frame. */
export const fixedPointSchema = z.object({
  frame: z.number().int().min(0),
  xPx: z.number(),
  yPx: z.number(),
});
export type FixedPoint = z.infer<typeof fixedPointSchema>;

/** The disc's rim as a person drew it in the picture at `ptsS`, displayed pixels; axes as in `Rim`. */
export const statedRimSchema = z.object({
  ptsS: z.number(),
  xPx: z.number(),
  yPx: z.number(),
  aPx: z.number().positive(),
  bPx: z.number().positive(),
  thetaRad: z.number(),
});
export type StatedRim = z.infer<typeof statedRimSchema>;

/** The end of the sleeve, followed where the disc cannot be: its middle in the picture at `ptsS`, displayed pixels. */
export const sleeveEndSchema = z.object({
  ptsS: z.number(),
  xPx: z.number(),
  yPx: z.number(),
  /** How far it stands out from the disc's near face, metres; null where nobody measured it. */
  proudM: z.number().min(0).max(0.5).nullable(),
  /** How far away the camera stood, metres; null where nobody measured it. */
  cameraM: z.number().min(0.5).max(50).nullable(),
});
export type SleeveEnd = z.infer<typeof sleeveEndSchema>;

export const movableEvents = ['lift-off', 'start', 'touch', 'bottom', 'drive start', 'lockout'] as const;
export const movableEventSchema = z.enum(movableEvents);
export type MovableEvent = z.infer<typeof movableEventSchema>;

/** An event of a rep that a person moved. */
export const setEventSchema = z.object({
  /** From 1. */
  rep: z.number().int().min(1),
  event: movableEventSchema,
  /** File time since the first frame, seconds: it holds whatever the slow-motion factor turns out to be. */
  fileS: z.number().min(0),
});
export type SetEvent = z.infer<typeof setEventSchema>;

/** What the user says of one clip; null where nothing was said and the program proposes. */
export const clipOptionsSchema = z.object({
  /** The disc's centre: file time in seconds, displayed pixels. */
  seed: z.object({ ptsS: z.number(), xPx: z.number(), yPx: z.number() }).nullable(),
  discMm: z.number().positive().nullable(),
  discKnown: discKnownSchema.default('measured'),
  rim: statedRimSchema.nullable().default(null),
  /** Followed instead of the disc; the drawn rim is then the ruler. */
  sleeveEnd: sleeveEndSchema.nullable().default(null),
  /** Two points on something upright, displayed pixels. */
  plumb: z.tuple([z.number(), z.number(), z.number(), z.number()]).nullable(),
  slowMotion: z.number().positive().nullable(),
  facing: facingSchema.nullable(),
  /** Every picture is followed, also where by the key frames nothing moves. */
  whole: z.boolean().default(false),
  /** In any order, one a frame at most. */
  fixed: z.array(fixedPointSchema).default([]),
});
export type ClipOptions = z.infer<typeof clipOptionsSchema>;

/** Of what is said of a clip, all that its pictures are followed by; everything else is worked out from the trace at once. */
export const followedBy = ({
  seed,
  rim,
  sleeveEnd,
  whole,
}: Pick<ClipOptions, 'seed' | 'rim' | 'sleeveEnd' | 'whole'>) => {
  // Where a disc was pointed at every picture is followed anyway.
  if (!sleeveEnd) return { seed, ...(whole && !seed ? { whole } : {}) };
  const { ptsS, xPx, yPx } = sleeveEnd;
  return { sleeveEnd: { ptsS, xPx, yPx }, rim };
};

export const nothingSaid: ClipOptions = {
  seed: null,
  discMm: null,
  discKnown: 'measured',
  rim: null,
  sleeveEnd: null,
  plumb: null,
  slowMotion: null,
  facing: null,
  whole: false,
  fixed: [],
};

/** A clip as a review keeps it: by content, with where it was last seen. */
export const clipRefSchema = z.object({
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** File name as brought in, for people. */
  name: z.string(),
  bytes: z.number().int(),
});
export type ClipRef = z.infer<typeof clipRefSchema>;

export const reviewSideSchema = z.object({
  clip: clipRefSchema,
  options: clipOptionsSchema,
  loadKg: z.number().positive().nullable(),
  /** From 1; null for the first. */
  rep: z.number().int().min(1).nullable(),
  /** The disc shown was looked at and is the right one. */
  discConfirmed: z.boolean(),
  circumstances: circumstancesSchema,
  events: z.array(setEventSchema).default([]),
  /** Joints marked at events, one a joint and event. */
  body: z.array(bodyMarkSchema).max(200).default([]),
  /** Second points to follow, one a joint. */
  points: z.array(pointMarkSchema).max(11).default([]),
});
export type ReviewSide = z.infer<typeof reviewSideSchema>;

/** A clip of which nothing was said yet. */
export const newSide = (clip: ClipRef): ReviewSide => ({
  clip,
  options: nothingSaid,
  loadKg: null,
  rep: null,
  discConfirmed: false,
  circumstances: nothingAsked,
  events: [],
  body: [],
  points: [],
});

export const sideNames = ['reference', 'today'] as const;
export const sideNameSchema = z.enum(sideNames);
export type SideName = (typeof sideNames)[number];

export const steps = ['Bring in', 'Set up', 'Follow', 'Line up', 'Hand back'] as const;
export const stepSchema = z.enum(steps);
export type Step = (typeof steps)[number];

/**
 * What a coach keeps about one lifter on one day. Everything here was said or chosen by a person; what is measured is
 * worked out from it again or taken from the folder's own store of results.
 */
export const reviewSchema = z.object({
  schema: z.literal(3),
  id: z.string().regex(/^[a-z0-9-]{1,64}$/),
  /** Counts the saves: the higher is the newer, whatever the clocks say. */
  revision: z.number().int().min(0),
  title: z.string().max(200),
  /** When it was made, ISO 8601. */
  madeAt: z.iso.datetime(),
  lift: liftSchema,
  /** The lifter's own file; null while the review stands alone, and then `lifter` says who it is. */
  lifterId: z.string().nullable(),
  lifter: z.object({ name: z.string().max(120), bodyKg: z.number().positive().nullable() }),
  /** What the lifter asks. */
  asked: z.string().max(4000),
  sameCamera: z.boolean(),
  reference: reviewSideSchema.nullable(),
  today: reviewSideSchema.nullable(),
  coaching: coachingSchema,
  /** Where the coach was: so that opening it again comes back to the same place. */
  place: z.object({ step: stepSchema, momentS: z.number(), runBy: z.enum(['clock', 'phase', 'height']) }),
});
export type Review = z.infer<typeof reviewSchema>;

export const reviewSummarySchema = reviewSchema
  .pick({ id: true, title: true, madeAt: true, lift: true, lifter: true, lifterId: true })
  .extend({
    clips: z.number().int(),
    /** Null where the file could be read; else why not. */
    trouble: z.string().nullable(),
  });
export type ReviewSummary = z.infer<typeof reviewSummarySchema>;
