import { z } from 'zod';
import { cueAimSchema } from './coaching.ts';
import { liftSchema } from './lift.ts';
import { measureNames } from './measures.ts';
import { measureSchema } from './rep.ts';

export const cueCallSchema = z.enum(['took', 'not yet', 'cannot tell']);
/** Whether an earlier cue took. */
export type CueCall = z.infer<typeof cueCallSchema>;

/** A cue of an earlier review, held against today. */
export const cueNowSchema = z.object({
  review: z.string(),
  cue: z.string(),
  /** When it was given, ISO 8601. */
  givenAt: z.string(),
  text: z.string(),
  main: z.boolean(),
  aim: cueAimSchema,
  /** What it is about: the measure's name, or what was seen. */
  about: z.string(),
  before: measureSchema.nullable(),
  now: measureSchema.nullable(),
  call: cueCallSchema,
  why: z.string(),
});
export type CueNow = z.infer<typeof cueNowSchema>;

/** Today's rep of one review, measured. */
export const weekSchema = z.object({
  review: z.string(),
  title: z.string(),
  /** ISO 8601. */
  at: z.string(),
  lift: liftSchema,
  loadKg: z.number().nullable(),
  /** Null where it could not be measured, and `trouble` says why. */
  measures: z.record(z.enum(measureNames), measureSchema.nullable()).nullable(),
  trouble: z.string().nullable(),
  /** Why it does not compare with the newest review; null where it does. */
  notComparable: z.string().nullable(),
  cues: z.array(z.object({ text: z.string(), main: z.boolean(), aim: cueAimSchema, about: z.string() })),
  /** Cues of earlier reviews, held against this one. */
  earlierCues: z.array(cueNowSchema),
});
export type Week = z.infer<typeof weekSchema>;

/** A lifter's reviews of one lift, oldest first, and where the next ordinary rep like the newest falls with 95 %, SI. */
export const weeksSchema = z.object({
  weeks: z.array(weekSchema),
  /** Measures with a band; empty where too few reps are marked as usual. */
  usual: z.array(z.object({ name: z.enum(measureNames), lo95: z.number(), hi95: z.number() })),
  /** What the band is made of, or what it lacks, in words. */
  usualState: z.string(),
});
export type Weeks = z.infer<typeof weeksSchema>;
