import { z } from 'zod';
import { measureSchema } from './rep.ts';

/** One rep that counts as usual for the lifter, measured: what a band takes of it. */
export const usualRepSchema = z.object({
  /** The clip, by content. */
  clip: z.string(),
  /** From 1. */
  rep: z.number().int().min(1),
  /** Reps of one day are one session, YYYY-MM-DD. */
  day: z.iso.date(),
  /** Measures by name, SI; null where the rep has none. */
  measures: z.record(z.string(), measureSchema.nullable()),
});
export type UsualRep = z.infer<typeof usualRepSchema>;

/**
 * What a comparison takes of the lifter's usual reps: those of the same lift and variant with a load within 5 % of
 * today's, today's own rep left out.
 */
export const usualRepsSchema = z.object({ reps: z.array(usualRepSchema), todayClip: z.string() });
export type UsualReps = z.infer<typeof usualRepsSchema>;
