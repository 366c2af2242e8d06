import { z } from 'zod';
import { handBackSchema, nothingSaidBack } from './hand-back.ts';
import { measureNames } from './measures.ts';

/** A moment of one side's clip, real seconds since its first frame. */
export const momentSchema = z.object({ side: z.enum(['reference', 'today']), tS: z.number() });
export type Moment = z.infer<typeof momentSchema>;

const name = z.string().regex(/^[a-z0-9-]{1,32}$/);

/** Something seen and not measured, in words from the list or the coach's own. */
export const observationSchema = z.object({ id: name, text: z.string().max(200), moment: momentSchema });
export type Observation = z.infer<typeof observationSchema>;

/** What a cue is about: a measure that shall become more or less, or something seen that shall not be seen again. */
export const cueAimSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('measure'),
    measure: z.enum(measureNames),
    /** Which way the measure's value shall go: forward, longer, faster, higher are more. */
    wanted: z.enum(['more', 'less']),
  }),
  z.object({ kind: z.literal('observation'), observation: name }),
]);
export type CueAim = z.infer<typeof cueAimSchema>;

export const cueSchema = z.object({
  id: name,
  /** The coach's own words to the lifter. */
  text: z.string().max(300),
  aim: cueAimSchema,
  moment: momentSchema,
});
export type Cue = z.infer<typeof cueSchema>;

export const mostCues = 3;

/** A point the wished path passes: metres in the bar plane from the rep's own start. */
export const handleSchema = z.object({ xM: z.number(), yM: z.number() });
export type Handle = z.infer<typeof handleSchema>;

/** The path that the bar should take, by way; each way holds none, or at least two handles at different heights. */
export const wishedPathSchema = z.object({
  down: z.array(handleSchema).max(12),
  up: z.array(handleSchema).max(12),
});
export type WishedPath = z.infer<typeof wishedPathSchema>;

/** Whether something that an earlier review noted is seen again today, as the coach says. */
export const seenAgainSchema = z.object({ review: z.string(), cue: z.string(), seen: z.boolean() });
export type SeenAgain = z.infer<typeof seenAgainSchema>;

/** What the coach says of a pair. */
export const coachingSchema = z.object({
  observations: z.array(observationSchema).max(60),
  /** The first is the main one. */
  cues: z.array(cueSchema).max(mostCues),
  /** The coach's finding that nothing needs to change. */
  nothingToChange: z.boolean(),
  /** Today's load leaves no room to learn something new. */
  tooHeavyToLearn: z.boolean(),
  /** The day of a coming competition. */
  competition: z.iso.date().nullable(),
  wishedPath: wishedPathSchema.nullable(),
  seenAgain: z.array(seenAgainSchema).max(200),
  /** What the lifter says hurts, in the lifter's words. */
  pain: z.string().max(1000),
  /** What the coach says of what leaves. */
  handBack: handBackSchema,
});
export type Coaching = z.infer<typeof coachingSchema>;

export const nothingCoached: Coaching = {
  observations: [],
  cues: [],
  nothingToChange: false,
  tooHeavyToLearn: false,
  competition: null,
  wishedPath: null,
  seenAgain: [],
  pain: '',
  handBack: nothingSaidBack,
};
