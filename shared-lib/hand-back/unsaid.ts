import { texts } from '../texts/texts.ts';

/**
 * What a text seems to say that a hand-back never says, in words; empty where nothing. A coach is reminded of it, the program's
 * own texts never do.
 */
export const mustNotBeSaid = (text: string): string[] =>
  texts.unsaid.filter(({ words }) => words.test(text)).map(({ what }) => what);
