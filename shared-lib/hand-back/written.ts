import { letterSections, writtenOf, type LetterPart, type LetterSectionName } from '../contract/hand-back.ts';
import { texts } from '../texts/texts.ts';

/** A section of the letter as it leaves. */
export interface LetterSection {
  name: LetterSectionName;
  heading: string;
  texts: { key: string; text: string; cue: string | null }[];
}

/** The sections that hold any words, as the coach wants them. */
export function writtenSections(
  parts: readonly LetterPart[],
  said: Readonly<Record<string, string>>,
): LetterSection[] {
  return letterSections.flatMap((name) => {
    const written = parts
      .filter(({ section }) => section === name)
      .flatMap((part) => {
        const text = writtenOf(part, said);
        return text ? [{ key: part.key, text, cue: part.cue }] : [];
      });
    return written.length === 0 ? [] : [{ name, heading: headingOf(name, written), texts: written }];
  });
}

/** Where nobody asked anything there is no question to answer. */
export const headingOf = (name: LetterSectionName, written: readonly { key: string }[]): string =>
  name === 'answer' && !written.some(({ key }) => key === 'asked')
    ? texts.letter.answerUnasked
    : texts.letter.headings[name];

/** What is written of each cue to the lifter; cues that are left out are not there. */
export const cueTexts = (parts: readonly LetterPart[], said: Readonly<Record<string, string>>): Map<string, string> =>
  new Map(
    parts.flatMap((part) => {
      const isCue = part.cue !== null && part.key === `cue.${part.cue}`;
      const text = isCue ? writtenOf(part, said) : '';
      return text ? [[part.cue!, text] as const] : [];
    }),
  ); // prettier-ignore
