import { z } from 'zod';
import { circumstancesSchema } from './circumstances.ts';
import { liftSchema } from './lift.ts';
import { clipOptionsSchema, clipRefSchema, setEventSchema } from './review.ts';

/** One rep that counts as usual for the lifter, with all it takes to measure it again. */
export const markedRepSchema = z.object({
  lift: liftSchema,
  clip: clipRefSchema,
  options: clipOptionsSchema,
  /** From 1. */
  rep: z.number().int().min(1),
  /** The day it was filmed, YYYY-MM-DD; reps of one day are one session. */
  day: z.iso.date(),
  loadKg: z.number().positive().nullable(),
  circumstances: circumstancesSchema,
  /** Events that the coach moved. */
  events: z.array(setEventSchema).default([]),
});
export type MarkedRep = z.infer<typeof markedRepSchema>;

const kg = z.number().positive().nullable();

/** What a coach keeps about one lifter. Everything here was said by a person. */
export const lifterSchema = z.object({
  schema: z.literal(1),
  id: z.string().regex(/^[a-z0-9-]{1,64}$/),
  /** Counts the saves: the higher is the newer. */
  revision: z.number().int().min(0),
  madeAt: z.iso.datetime(),
  name: z.string().max(120),
  bodyKg: kg,
  bestKg: z.object({ squat: kg, bench: kg, deadlift: kg }),
  /** Whose rulebook applies, in the coach's own words. */
  federation: z.string().max(120),
  notes: z.string().max(8000),
  usualReps: z.array(markedRepSchema).max(500),
});
export type Lifter = z.infer<typeof lifterSchema>;

export const lifterSummarySchema = lifterSchema
  .pick({ id: true, name: true, bodyKg: true, madeAt: true, federation: true, notes: true })
  .extend({
    usualReps: z.number().int(),
    reviews: z.number().int(),
    /** Null where the file could be read; else why not. */
    trouble: z.string().nullable(),
  });
export type LifterSummary = z.infer<typeof lifterSummarySchema>;

/** The same rep of the same clip, whatever else is said of it. */
export const isSameRep = (
  a: Pick<MarkedRep, 'clip' | 'rep' | 'lift'>,
  b: Pick<MarkedRep, 'clip' | 'rep' | 'lift'>,
): boolean => a.clip.sha256 === b.clip.sha256 && a.rep === b.rep && a.lift === b.lift;
