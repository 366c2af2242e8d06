import { z } from 'zod';
import { jointSchema } from './body.ts';
import { measureSchema } from './rep.ts';

/** A second point as marked: any place on the lifter, in displayed pixels of one frame. */
export const pointMarkSchema = z.object({
  joint: jointSchema,
  frame: z.number().int().min(0),
  xPx: z.number(),
  yPx: z.number(),
});
export type PointMark = z.infer<typeof pointMarkSchema>;

/** How far a second point moved round one moment of the rep; metres forward and up. */
export const pointShiftSchema = z.object({
  when: z.enum(['as the bar leaves', 'at the bottom', 'after lockout']),
  forward: measureSchema,
  up: measureSchema,
  sentence: z.string(),
});
export type PointShift = z.infer<typeof pointShiftSchema>;

/** A second point followed through the rep: pixels of each frame from `fromFrame` on, null where it was not seen. */
export const pointPathSchema = z.object({
  joint: jointSchema,
  fromFrame: z.number().int(),
  xPx: z.array(z.number().nullable()),
  yPx: z.array(z.number().nullable()),
  confidence: z.array(z.number()),
  shifts: z.array(pointShiftSchema),
});
export type PointPath = z.infer<typeof pointPathSchema>;
