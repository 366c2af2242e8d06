import { z } from 'zod';
import { bodyChangeSchema, bodyEventSchema } from './body.ts';
import { changeSchema } from './pair.ts';
import { poseViewSchema } from './pose-proposal.ts';
import { ruleViewSchema } from './rules.ts';
import { pointPathSchema } from './second-point.ts';

const sides = <T extends z.ZodType>(of: T) => z.object({ reference: of, today: of });

/** What the coach sees of the bodies, the rules and the load of a pair. */
export const bodiesSchema = z.object({
  /** The frame of each event at which a body can be marked. */
  moments: sides(
    z.array(
      z.object({
        event: bodyEventSchema,
        frame: z.number().int(),
        tS: z.number(),
        /** Where to look for joints to propose; null where the bar was lost. */
        view: poseViewSchema.nullable(),
      }),
    ),
  ),
  changes: z.array(bodyChangeSchema),
  /** Where the bar starts over its landmark, as a headline change; null where a rep lacks its marks. */
  place: changeSchema.nullable(),
  /** How each rep was filmed and how far that alone lets bodies be off, a sentence each. */
  views: z.array(z.string()),
  /** How the bar was brought to the start and held there, a sentence each. */
  setUp: z.array(z.string()),
  /** Second points that were followed. */
  points: sides(z.array(pointPathSchema)),
  /** What referees look at, and what today's clip shows of it. */
  rules: z.array(ruleViewSchema),
  authority: z.string(),
  /** What load alone would bring, in a sentence; for the coach alone. */
  load: z.string(),
});
export type Bodies = z.infer<typeof bodiesSchema>;
