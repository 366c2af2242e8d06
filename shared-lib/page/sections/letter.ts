import type { LetterSection } from '../../hand-back/written.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { bound } from '../words.ts';
import { pathSection } from './charts.ts';
import { twoStills } from './moments.ts';

/** What is written to the lifter, then the bar's path beside the numbers it goes with. */
export function letterSections(input: PageInput): Markup {
  const of = (section: LetterSection): Markup => {
    switch (section.name) {
      case 'pain':
        return html`<div class="notice" role="note">${paragraphs(section)}</div>`;
      case 'mainCue':
      case 'otherCues':
        return framed(section, cues(section, input));
      case 'numbers':
        return html`<div class="columns">${framed(section, list(section))}${pathSection(input)}</div>`;
      case 'answer':
      case 'word':
        return framed(section, paragraphs(section));
      case 'earlier':
      case 'heldUp':
      case 'notJudged':
      case 'filmNext':
      case 'cautions':
        return framed(section, list(section));
    }
  };
  const numbers = input.letter.some(({ name }) => name === 'numbers');
  return html`<div class="letter">${input.letter.map(of)}${numbers ? null : pathSection(input)}</div>`;
}

const framed = ({ name, heading }: LetterSection, content: Markup): Markup =>
  html`<section class="${name}" aria-labelledby="letter-${name}">
    <h2 id="letter-${name}">${heading}</h2>
    ${content}
  </section>`;

/** A coach's own line ends are kept. */
const paragraphs = ({ texts }: LetterSection): Markup =>
  html`${texts.flatMap(({ key, text }) =>
    text
      .split(/\n+/)
      .map((line) =>
        key === 'asked'
          ? html`<p class="asked">${bound(line)}</p>`
          : html`<p class="lead">${bound(line)}</p>`,
      ),
  )}`;

const list = ({ texts }: LetterSection): Markup =>
  html`<ul class="plain">
    ${texts.map(({ text }) => html`<li>${bound(text)}</li>`)}
  </ul>`;

/** Each cue in large words with why, and its moment in both reps; what else is said of them under it. */
function cues({ name, texts }: LetterSection, input: PageInput): Markup {
  const ids = [...new Set(texts.flatMap(({ cue }) => cue ?? []))];
  const one = (id: string): Markup => {
    const own = texts.filter(({ cue }) => cue === id);
    const still = input.cueStills.find(({ cue }) => cue === id);
    const place = input.cueStills.findIndex(({ cue }) => cue === id);
    return html`<div class="cue">
      ${own.map(({ key, text }) =>
        key === `cue.${id}`
          ? html`<p class="words">${bound(text)}</p>`
          : html`<p class="why">${bound(text)}</p>`,
      )}
      ${still && name === 'mainCue' ? twoStills(still, `cue-${place}`, input) : null}
    </div>`;
  };
  const others = texts.filter(({ cue }) => cue === null);
  return html`${ids.map(one)}${others.map(({ text }) => html`<p class="words">${bound(text)}</p>`)}`;
}
