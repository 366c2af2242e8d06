import { z } from 'zod';
import { measureNames } from './measures.ts';

const numbers = z.array(z.number());
const wayBandSchema = z.object({ heightM: numbers, loXM: numbers, hiXM: numbers });

/** What is usual for a lifter, as screens draw it. */
export const usualViewSchema = z.object({
  /** Marked reps of this lift that compare with today's, and all of them. */
  comparable: z.number().int(),
  marked: z.number().int(),
  sessions: z.number().int(),
  /** In words: none, thin or full, and why. */
  state: z.string(),
  /** Where the next rep's whole path stays with 95 %, metres from its start. */
  path: z.object({ down: wayBandSchema.nullable(), up: wayBandSchema.nullable() }).nullable(),
  /** Where the next rep's measure falls with 95 %, SI. */
  measures: z.array(
    z.object({
      name: z.enum(measureNames),
      lo95: z.number(),
      hi95: z.number(),
      today: z.number().nullable(),
    }),
  ),
  /** A sentence for each marked rep that does not compare. */
  notComparable: z.array(z.string()),
});
export type UsualView = z.infer<typeof usualViewSchema>;
export type WayBand = z.infer<typeof wayBandSchema>;
