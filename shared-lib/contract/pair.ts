import { z } from 'zod';

export const callSchema = z.enum(['changed', 'differs', 'no clear change', 'cannot tell']);
export type Call = z.infer<typeof callSchema>;

/** One measured difference, today minus reference. SI units; numbers are null where undefined. */
export const changeSchema = z.object({
  name: z.string(),
  unit: z.string(),
  reference: z.number().nullable(),
  today: z.number().nullable(),
  change: z.number().nullable(),
  lo95: z.number().nullable(),
  hi95: z.number().nullable(),
  u95: z.number().nullable(),
  /** Null where the measure is not called. */
  call: callSchema.nullable(),
  /** One plain sentence: why this call, or why there is no number. */
  why: z.string(),
});
export type Change = z.infer<typeof changeSchema>;
