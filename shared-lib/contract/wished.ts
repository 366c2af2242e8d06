import { z } from 'zod';
import { callSchema } from './pair.ts';

const numbers = z.array(z.number());

/** Today's way against the wished one. Metres; forward of it is positive. */
export const wayDeviationSchema = z.object({
  /** From the rep's start, each height's own deviation and an interval that holds over all heights together. */
  heightM: numbers,
  deviationM: numbers,
  lo95M: numbers,
  hi95M: numbers,
  largest: z.object({
    heightM: z.number(),
    deviationM: z.number(),
    lo95M: z.number(),
    hi95M: z.number(),
    call: callSchema,
  }),
  rmsM: z.number(),
  rmsLo95M: z.number(),
  rmsHi95M: z.number(),
});
export type WayDeviation = z.infer<typeof wayDeviationSchema>;

const pixel = z.tuple([z.number(), z.number()]);
const point = z.object({ xM: z.number(), yM: z.number() });

export const wishedViewSchema = z.object({
  down: wayDeviationSchema.nullable(),
  up: wayDeviationSchema.nullable(),
  /** What is found, a sentence for each way. */
  sentences: z.array(z.string()),
  /** The wished path itself, metres from the start, one line a way. */
  curves: z.array(z.array(point)),
  /** The wished path laid into each side's picture, pixels of its first frame, one line a way. */
  pathPx: z.object({ reference: z.array(z.array(pixel)), today: z.array(z.array(pixel)) }),
});
export type WishedView = z.infer<typeof wishedViewSchema>;
