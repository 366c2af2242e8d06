import { z } from 'zod';
import { calibrationSchema, mediaInfoSchema, timingSchema } from './clip.ts';
import { frameTrackSchema, lineUpSchema, measuredSideSchema, rimSchema } from './line-up.ts';
import { bodiesSchema } from './bodies.ts';
import { jointNames } from './body.ts';
import { proposalSchema, sightSchema } from './pose-proposal.ts';
import { handedBackSchema, letterSchema } from './hand-back.ts';
import { queuedClipSchema } from './queue.ts';
import { liftSchema } from './lift.ts';
import { lifterSchema, lifterSummarySchema } from './lifter.ts';
import {
  clipRefSchema,
  reviewSchema,
  reviewSideSchema,
  reviewSummarySchema,
  sideNameSchema,
} from './review.ts';

import { usualViewSchema } from './usual.ts';
import { cueNowSchema, weeksSchema } from './weeks.ts';
import { wishedViewSchema } from './wished.ts';

/** What every shell offers to the screens: a name, what goes in, what comes out. Screens, server and bridge share it. */
const id = z.object({ id: z.string() });
const side = z.object({ id: z.string(), side: sideNameSchema });

export const commands = {
  listReviews: { input: z.object({}), output: z.array(reviewSummarySchema) },
  startReview: { input: z.object({}), output: reviewSchema },
  openReview: { input: id, output: reviewSchema },
  /** The saves that a review can be taken back to, newest first, times in ISO 8601. */
  reviewHistory: {
    input: id,
    output: z.array(z.object({ revision: z.number().int(), savedAt: z.iso.datetime() })),
  },
  /** Makes what an earlier save held the newest; what was newest stays in the history. */
  takeBackReview: { input: id.extend({ revision: z.number().int().min(0) }), output: reviewSchema },
  /** Keeps a review; `stale` where a newer revision is kept already and nothing was written. */
  keepReview: {
    input: z.object({ review: reviewSchema }),
    output: z.object({ revision: z.number().int(), stale: z.boolean() }),
  },
  removeReview: { input: id, output: z.object({}) },
  /** Puts a review that was removed back into the list. */
  bringBackReview: { input: id, output: z.object({}) },
  /** Takes in a clip by its path (desktop shell); the browser sends the file itself. */
  bringInFile: { input: z.object({ path: z.string() }), output: clipRefSchema },
  /** What was said last of a clip in any review; null where nothing was. */
  knownSide: {
    input: z.object({ sha256: z.string() }),
    output: z.object({ side: reviewSideSchema.nullable() }),
  },
  lookAtClip: {
    input: z.object({ sha256: z.string() }),
    output: z.object({ media: mediaInfoSchema, ptsS: z.array(z.number()) }),
  },
  /** Begins to make pictures of these frames, in this order; answers at once. */
  prepareStills: {
    input: z.object({
      sha256: z.string(),
      widthPx: z.number().int().min(16),
      frames: z.array(z.number().int().min(0)),
    }),
    output: z.object({}),
  },
  /** Follows one side's clip, or takes what was followed before with the same options. */
  followSide: {
    input: side,
    output: z.object({
      media: mediaInfoSchema,
      timing: timingSchema,
      track: frameTrackSchema,
      rim: rimSchema,
      calibration: calibrationSchema,
      /** Points on an upright that agrees with what the pictures say is up; null where none does. */
      proposedPlumb: z.tuple([z.number(), z.number(), z.number(), z.number()]).nullable(),
      /** What speaks against the clip's speed, and how many times slower it would have to play where that can be told. */
      speedDoubt: z.object({ said: z.string(), timesSlower: z.number().nullable() }).nullable(),
    }),
  },
  /** Reps, events and measures of one side as it is now, without intervals: quick enough to drag by. */
  measureSide: { input: side, output: measuredSideSchema },
  listLifters: { input: z.object({}), output: z.array(lifterSummarySchema) },
  startLifter: { input: z.object({ name: z.string().max(120) }), output: lifterSchema },
  openLifter: { input: id, output: lifterSchema },
  keepLifter: {
    input: z.object({ lifter: lifterSchema }),
    output: z.object({ revision: z.number().int(), stale: z.boolean() }),
  },
  /** What would go with a lifter: reviews, copies of clips; and clips of theirs that lie elsewhere, and stay there. */
  lifterBelongings: {
    input: id,
    output: z.object({
      reviews: z.number().int(),
      clips: z.number().int(),
      clipsElsewhere: z.number().int(),
    }),
  },
  /** Deletes a lifter with everything that belongs to them, for good. */
  removeLifter: { input: id, output: z.object({}) },
  /** Marks reps of a review's side as usual for its lifter, or takes the marks away. */
  markUsual: {
    input: side.extend({ reps: z.array(z.number().int().min(1)).max(50), usual: z.boolean() }),
    output: lifterSchema,
  },
  /** What is usual for the review's lifter in reps that compare with today's. */
  usual: { input: id, output: usualViewSchema },
  /** Today's rep against the wished path. */
  wished: { input: id, output: wishedViewSchema },
  /** Cues of earlier reviews that are still open, held against today. */
  earlierCues: { input: id, output: z.array(cueNowSchema) },
  /** Every review of a lifter's lift, measured, oldest first. */
  overWeeks: { input: id.extend({ lift: liftSchema }), output: weeksSchema },
  /** The coach's own cues so far, the most used first. */
  cueLibrary: {
    input: z.object({ lift: liftSchema }),
    output: z.array(z.object({ text: z.string(), about: z.string(), times: z.number().int() })),
  },
  /** Puts a lifter with all reviews, and the clips where wanted, into one zip file; answers where it lies. */
  exportLifter: {
    input: id.extend({ withClips: z.boolean() }),
    output: z.object({ file: z.string(), name: z.string(), bytes: z.number() }),
  },
  /** Takes a lifter in from a zip file on disk (desktop shell); the browser sends the file itself. */
  importLifter: { input: z.object({ path: z.string() }), output: lifterSchema },
  compare: { input: id, output: lineUpSchema },
  /** Clips to be read, followed and checked in the background, and what became of those before. */
  queueClips: {
    input: z.object({ clips: z.array(clipRefSchema), lift: liftSchema }),
    output: z.array(queuedClipSchema),
  },
  /** Bodies as marked, second points followed, rules and load of a compared pair. */
  bodies: { input: id, output: bodiesSchema },
  /** The joints that were proposed for a picture when it was looked at before; null where it was not. */
  proposals: { input: sightSchema, output: z.array(proposalSchema).nullable() },
  /** Keeps what was proposed for a picture. */
  keepProposals: {
    input: z.object({ sight: sightSchema, proposals: z.array(proposalSchema).max(jointNames.length) }),
    output: z.object({}),
  },
  /** The program, and the parts that it is made of. */
  about: {
    input: z.object({}),
    output: z.object({
      version: z.string(),
      system: z.string(),
      /** Version of the ffmpeg that is used; null where there is none. */
      ffmpeg: z.string().nullable(),
      logFolder: z.string(),
      parts: z.array(z.object({ name: z.string(), version: z.string(), licence: z.string() })),
    }),
  },
  /** The licence of one part in full. */
  licence: {
    input: z.object({ name: z.string().max(200), version: z.string().max(80) }),
    output: z.object({ text: z.string() }),
  },
  /** A report of faults for whoever mends the program, to be read before it is sent. */
  report: { input: z.object({}), output: z.object({ text: z.string() }) },
  queue: { input: z.object({}), output: z.array(queuedClipSchema) },
  leaveQueue: { input: z.object({ sha256: z.string() }), output: z.array(queuedClipSchema) },
  /** All that will leave the machine in words, as it is proposed, before it is made. */
  letter: { input: id, output: letterSchema },
  /** A message that asks the lifter for what is missing; null where nothing is. */
  message: { input: id, output: z.object({ text: z.string().nullable() }) },
  /** Makes what is wanted of a compared pair; answers where it lies. */
  handBack: {
    input: id.extend({
      wanted: z.array(handedBackSchema).min(1),
      /** The still's moment: real seconds of the reference clip; null for the drive's start. */
      stillAtS: z.number().nullable(),
    }),
    output: z.object({
      folder: z.string(),
      files: z.array(z.object({ name: z.string(), kind: handedBackSchema, bytes: z.number() })),
    }),
  },
} as const;
export type CommandName = keyof typeof commands;
export type InputOf<Name extends CommandName> = z.infer<(typeof commands)[Name]['input']>;
export type OutputOf<Name extends CommandName> = z.infer<(typeof commands)[Name]['output']>;

export const commandNames = Object.keys(commands) as CommandName[];

export const failureKindSchema = z.enum(['usage', 'unusableFile', 'noBar', 'stopped', 'fault']);

/** The answer to every command: what was asked for, or one sentence what is wrong and one what to do. */
export const answerSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('done'), output: z.unknown() }),
  z.object({
    kind: z.literal('failed'),
    failure: z.object({
      kind: failureKindSchema,
      what: z.string(),
      advice: z.string(),
      /** The clip whose file is no longer where it was. */
      lost: z.object({ sha256: z.string(), name: z.string() }).optional(),
    }),
  }),
]);
export type Answer = z.infer<typeof answerSchema>;

/** A way that is still being followed: file times, displayed pixels. */
export const tracedPointsSchema = z.object({
  ptsS: z.array(z.number()),
  xPx: z.array(z.number()),
  yPx: z.array(z.number()),
});
export type TracedPoints = z.infer<typeof tracedPointsSchema>;

/** A command under way; `job` is a name the screen chose, with which it can stop it. */
export const callSchema = z.object({
  command: z.enum(commandNames as [CommandName, ...CommandName[]]),
  job: z.string().regex(/^[\w-]{1,64}$/),
  input: z.unknown(),
});

/** What the desk tells without being asked. */
export const eventSchema = z.discriminatedUnion('type', [
  z.object({ type: z.literal('progress'), job: z.string(), share: z.number() }),
  /** The bar as followed so far in one side's clip, thinned out. */
  z.object({
    type: z.literal('traced'),
    job: z.string(),
    side: sideNameSchema.nullable(),
    points: tracedPointsSchema,
  }),
]);
export type DeskEvent = z.infer<typeof eventSchema>;
