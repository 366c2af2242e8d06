import { z } from 'zod';
import type { Lift } from './lift.ts';
import { measureSchema } from './rep.ts';

/** What can be marked on the lifter's near side. `hip crease` and `knee top` are surfaces, not joint centres. */
export const jointNames = [
  'head',
  'shoulder',
  'elbow',
  'wrist',
  'hip',
  'knee',
  'ankle',
  'heel',
  'toe',
  'hip crease',
  'knee top',
] as const;
export const jointSchema = z.enum(jointNames);
export type Joint = z.infer<typeof jointSchema>;

/** The moments of a rep at which bodies are compared; `knee` is the bar passing the knee in a deadlift. */
export const bodyEventSchema = z.enum(['start', 'touch', 'bottom', 'knee', 'slowest', 'lockout']);
export type BodyEvent = z.infer<typeof bodyEventSchema>;

export const bodyEventsOf: Record<Lift, readonly BodyEvent[]> = {
  squat: ['start', 'bottom', 'slowest', 'lockout'],
  bench: ['start', 'touch', 'slowest', 'lockout'],
  deadlift: ['start', 'knee', 'slowest', 'lockout'],
};

/** The joints worth marking in each lift, in the order they are asked for. */
export const jointsOf: Record<Lift, readonly Joint[]> = {
  squat: ['heel', 'toe', 'ankle', 'knee', 'knee top', 'hip', 'hip crease', 'shoulder'],
  bench: ['shoulder', 'elbow', 'wrist', 'hip', 'knee', 'heel'],
  deadlift: ['heel', 'toe', 'ankle', 'knee', 'hip', 'shoulder', 'elbow', 'wrist'],
};

/** A body mark: displayed pixels of its own frame. */
export const bodyMarkSchema = z.object({
  event: bodyEventSchema,
  joint: jointSchema,
  frame: z.number().int().min(0),
  xPx: z.number(),
  yPx: z.number(),
  /** Where it was taken over from a proposal: the proposal's own doubt, one sigma; null where a hand set it. */
  spreadPx: z.number().min(0).nullable().default(null),
});
export type BodyMark = z.infer<typeof bodyMarkSchema>;

export const bodyMeasureNames = [
  'place_m',
  'trunk_rad',
  'hip_rad',
  'knee_rad',
  'elbow_rad',
  'crease_m',
  'hip_above_m',
] as const;
export const bodyMeasureNameSchema = z.enum(bodyMeasureNames);
export type BodyMeasureName = z.infer<typeof bodyMeasureNameSchema>;

/** A body measure at one event, and what the camera's view alone leaves open of it. */
export const bodyMeasureSchema = measureSchema.extend({
  event: bodyEventSchema,
  name: bodyMeasureNameSchema,
  /** Half the 95 % interval if every mark were exact: how far the view alone can be off. */
  viewU95: z.number(),
  /** False where the view alone leaves more open than is worth telling. */
  canJudge: z.boolean(),
});
export type BodyMeasure = z.infer<typeof bodyMeasureSchema>;

/** A body measure of both reps and its difference, today minus reference; null where one side lacks its marks. */
export const bodyChangeSchema = z.object({
  event: bodyEventSchema,
  name: bodyMeasureNameSchema,
  unit: z.string(),
  reference: bodyMeasureSchema.nullable(),
  today: bodyMeasureSchema.nullable(),
  change: measureSchema.nullable(),
  /** One plain sentence. */
  sentence: z.string(),
});
export type BodyChange = z.infer<typeof bodyChangeSchema>;
