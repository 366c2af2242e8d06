import { z } from 'zod';
import { changeSchema } from './pair.ts';
import { clipFileSchema } from './clip.ts';
import { liftSchema } from './lift.ts';
import { measureNames } from './measures.ts';
import { measureSchema, outcomeSchema } from './rep.ts';
import { setCourseSchema } from './set.ts';

const time = z.number().nullable();

/** One rep in reps.json. Times are real seconds since the clip's first frame. */
export const repFileEntrySchema = z.object({
  rep: z.number().int().min(1),
  start_s: time,
  touch_s: time,
  bottom_s: time,
  pause_start_s: time,
  pause_end_s: time,
  drive_start_s: time,
  lockout_s: time,
  outcome: outcomeSchema,
  earlier_attempts: z.number().int(),
  rebound: z.boolean(),
  measures: z.record(z.enum(measureNames), measureSchema.nullable()),
});
export type RepFileEntry = z.infer<typeof repFileEntrySchema>;

export const repsFileSchema = z.object({
  schema: z.literal(1),
  clip: z.string(),
  lift: liftSchema,
  reps: z.array(repFileEntrySchema),
  /** The set as a whole, where the clip holds more than one rep. */
  set: setCourseSchema.optional(),
});
export type RepsFile = z.infer<typeof repsFileSchema>;

/** A moment that both reps have, on each rep's own real time. */
export const knotSchema = z.object({ event: z.string(), referenceS: z.number(), todayS: z.number() });
export type Knot = z.infer<typeof knotSchema>;

export const pairFileSchema = z.object({
  schema: z.literal(1),
  lift: liftSchema,
  reference: z.object({ clip: z.string(), rep: z.number().int(), loadKg: z.number().nullable() }),
  today: z.object({ clip: z.string(), rep: z.number().int(), loadKg: z.number().nullable() }),
  sameCamera: z.boolean(),
  knots: z.array(knotSchema),
  smoothing: z.object({ method: z.string(), cutoffHz: z.number() }),
  draws: z.number().int(),
  /** Sentences that belong beside the changes: loads apart, start not judged, partial clips. */
  notes: z.array(z.string()),
  changes: z.array(changeSchema),
});
export type PairFile = z.infer<typeof pairFileSchema>;
export type { ClipFile } from './clip.ts';
export { clipFileSchema };
