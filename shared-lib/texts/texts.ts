import { bodyTexts } from './body.ts';
import { callTexts } from './calls.ts';
import { clipTexts } from './clip.ts';
import { filmTexts } from './film.ts';
import { letterTexts } from './letter.ts';
import { measureTexts } from './measures.ts';
import { messageTexts } from './message.ts';
import { pageTexts } from './page.ts';
import { pairTexts } from './pair.ts';
import { unsaidTexts } from './unsaid.ts';

/**
 * Every word that goes back to a lifter, in English: the page, the film, the message, and what is said of measures, clips,
 * bodies and comparisons on the way there. A translation is another object of this shape in its place.
 */
export const texts = {
  body: bodyTexts,
  calls: callTexts,
  clip: clipTexts,
  film: filmTexts,
  letter: letterTexts,
  measures: measureTexts,
  message: messageTexts,
  page: pageTexts,
  pair: pairTexts,
  unsaid: unsaidTexts,
};
