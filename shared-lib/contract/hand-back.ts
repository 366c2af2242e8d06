import { z } from 'zod';

export const filmShapes = ['landscape', 'portrait'] as const;
/** Which way up the film is: 1920 x 1080 with the reps side by side, or 1080 x 1920 with one above the other. */
export const filmShapeSchema = z.enum(filmShapes);
export type FilmShape = z.infer<typeof filmShapeSchema>;

export const handedBack = ['page', 'film', 'still', 'data'] as const;
/** What can leave the machine, each for itself: a still is one picture of the film. */
export const handedBackSchema = z.enum(handedBack);
export type HandedBack = z.infer<typeof handedBackSchema>;

/** What a coach says of what leaves the machine. */
export const handBackSchema = z.object({
  /** Texts that the coach wrote over, by their keys; an empty one is left out. The others go as proposed. */
  said: z.record(z.string().max(120), z.string().max(4000)),
  film: filmShapeSchema,
});
export type HandBack = z.infer<typeof handBackSchema>;

export const nothingSaidBack: HandBack = { said: {}, film: 'landscape' };

/** The sections of the letter, in the order in which they are read. */
export const letterSections = [
  'pain',
  'word',
  'answer',
  'earlier',
  'heldUp',
  'mainCue',
  'otherCues',
  'numbers',
  'notJudged',
  'filmNext',
  'cautions',
] as const;
export const letterSectionSchema = z.enum(letterSections);
export type LetterSectionName = z.infer<typeof letterSectionSchema>;

/** One text of the letter, as the program proposes it. */
export const letterPartSchema = z.object({
  /** The same for the same thing, however its words change. */
  key: z.string(),
  section: letterSectionSchema,
  /** Empty where there is only room for the coach's own words. */
  text: z.string(),
  /** A caution that nobody may leave out or write over. */
  fixed: z.boolean(),
  /** The cue that it belongs to. */
  cue: z.string().nullable(),
});
export type LetterPart = z.infer<typeof letterPartSchema>;

/** A cue's moment on both reps: real seconds since each clip's first frame, and the frames shown then. */
export const cueMomentSchema = z.object({
  cue: z.string(),
  referenceS: z.number(),
  todayS: z.number(),
  referenceFrame: z.number().int(),
  todayFrame: z.number().int(),
});
export type CueMoment = z.infer<typeof cueMomentSchema>;

/** What the Hand back screen shows: all that will leave, before it leaves. */
export const letterSchema = z.object({
  parts: z.array(letterPartSchema),
  moments: z.array(cueMomentSchema),
});
export type Letter = z.infer<typeof letterSchema>;

/** What is written of a part; empty where it is left out. */
export const writtenOf = ({ key, text, fixed }: LetterPart, said: HandBack['said']): string =>
  fixed ? text : (said[key] ?? text).trim();
