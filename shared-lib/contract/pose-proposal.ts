import { z } from 'zod';
import { jointSchema } from './body.ts';
import { liftSchema } from './lift.ts';

/** Where the lifter is to be looked for in a picture, and what is known of him there; displayed pixels. */
export const poseViewSchema = z.object({
  /** The middle of a square that holds the body, and its side. */
  xPx: z.number(),
  yPx: z.number(),
  sidePx: z.number().positive(),
  /** The turn that sets the lifter's head up, radians, clockwise. */
  turnRad: z.number(),
  barXPx: z.number(),
  barYPx: z.number(),
  pxPerM: z.number().positive(),
  /** Which of his sides faces the camera. */
  near: z.enum(['left', 'right']),
});
export type PoseView = z.infer<typeof poseViewSchema>;

/** A joint that is proposed and waits for a person; displayed pixels. */
export const proposalSchema = z.object({
  joint: jointSchema,
  xPx: z.number(),
  yPx: z.number(),
  /** How far it may be off, one sigma across and up together: twice that held 95 % of rendered joints. */
  spreadPx: z.number(),
});
export type Proposal = z.infer<typeof proposalSchema>;

/** A picture in which a lifter is looked for. */
export const sightSchema = z.object({
  sha256: z.string(),
  frame: z.number().int().min(0),
  lift: liftSchema,
  view: poseViewSchema,
});
export type Sight = z.infer<typeof sightSchema>;
