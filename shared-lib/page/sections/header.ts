import { html, type Markup } from '../markup.ts';
import type { PageInput, PageRep } from '../page-input.ts';
import { Quantity, load, shownUnit } from '../../pair/units.ts';
import { texts } from '../../texts/texts.ts';
import { fileName } from '../words.ts';

const words = texts.page;

const cm = new Quantity(shownUnit('rom_m', 'm'), null);

function outcome(rep: PageRep): string {
  const { outcome: o, earlier_attempts: n } = rep.rep;
  const how = o.kind === 'completed' ? words.completed : words.notCompleted(cm.size(o.shortM));
  return n === 0 ? how : n === 1 ? words.afterAttempt(how) : words.afterAttempts(how, n);
}

function repWords(which: 'reference' | 'today', input: PageInput): string {
  const rep = words.rep(input.pair[which].rep, outcome(input[which]));
  const day = input.days[which];
  return day === null ? rep : words.filmed(rep, texts.letter.day(new Date(day)));
}

function side(which: 'reference' | 'today', input: PageInput): Markup {
  const { clip, loadKg } = input.pair[which];
  return html`<div class="${which}">
    <h2 class="eyebrow">${words.sides[which]}</h2>
    <p class="load">${loadKg === null ? words.noLoad : load(loadKg)}</p>
    <p>${fileName(clip)}</p>
    <p class="small">${repWords(which, input)}</p>
  </div>`;
}

/** The film lies beside the page, so its address is its name. */
export const filmHref = (file: string): string => `./${encodeURIComponent(fileName(file))}`;

export function header(input: PageInput): Markup {
  const { filmFile, lifter, days } = input;
  return html`<header>
    <p class="eyebrow">${words.eyebrow}${lifter === null ? '' : [' · ', lifter]}</p>
    <h1>${words.title(texts.measures.liftTitles[input.pair.lift])}</h1>
    <div class="reps">${side('reference', input)}${side('today', input)}</div>
    ${days.reference || days.today ? null : html`<p class="small">${words.noDays}</p>`}
    ${filmFile === null ? null : html`<p class="film">${words.watch} <a href="${filmHref(filmFile)}">${fileName(filmFile)}</a>${words.watchHow}</p>`}
  </header>`;
}
