import { z } from 'zod';
import { measureNames } from './measures.ts';
import { measureSchema } from './rep.ts';

/** How one measure goes over the reps of a set, SI; `total` is from the first rep to the last. */
export const setTrendSchema = z.object({
  name: z.enum(measureNames),
  unit: z.string(),
  /** Reps that have the measure. */
  reps: z.number().int(),
  /** Sample standard deviation over the set. */
  sd: z.number(),
  total: z.number(),
  /** 95 % interval of the total that holds together with those of the other measures. */
  lo95: z.number(),
  hi95: z.number(),
  /** The interval excludes zero and the total is worth acting on. */
  creeps: z.boolean(),
  /** How far the last rep lies from the mean of those before it, and what ordinary scatter leaves to it; null for fewer than three before it. */
  last: z.object({ deviation: z.number(), lo95: z.number(), hi95: z.number() }).nullable(),
});
export type SetTrend = z.infer<typeof setTrendSchema>;

/** A set filmed in one clip, judged by itself: what its reps share of the camera and the disc cancels. */
export const setCourseSchema = z.object({
  reps: z.number().int(),
  /** How much slower the last completed rep's mean drive is than the fastest one's, percent; null for fewer than two. */
  velocityLoss: measureSchema.extend({ fastestRep: z.number().int(), lastRep: z.number().int() }).nullable(),
  /** Headline measures that three reps or more have. */
  trends: z.array(setTrendSchema),
});
export type SetCourse = z.infer<typeof setCourseSchema>;
