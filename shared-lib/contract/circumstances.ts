import { z } from 'zod';

/** What was asked once of one rep; null where nobody said. */
export const circumstancesSchema = z.object({
  /** When it was filmed, YYYY-MM-DD; reps of one day are one session. */
  day: z.iso.date().nullable(),
  /** Grip, stance, bar or style in the coach's own words ("close grip", "sumo"). */
  variant: z.string().max(80).nullable(),
  bottom: z.enum(['paused', 'touch-and-go']).nullable(),
  /** What is worn, in the coach's own words ("belt, wraps"). */
  equipment: z.string().max(120).nullable(),
  intent: z.enum(['as fast as possible', 'controlled']).nullable(),
  /** Reps that would still have gone. */
  repsLeft: z.number().min(0).max(20).nullable(),
  inSession: z.enum(['warm-up', 'first work set', 'later set']).nullable(),
});
export type Circumstances = z.infer<typeof circumstancesSchema>;

export const nothingAsked: Circumstances = {
  day: null,
  variant: null,
  bottom: null,
  equipment: null,
  intent: null,
  repsLeft: null,
  inSession: null,
};
