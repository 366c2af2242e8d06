import { html, type Markup } from '../markup.ts';
import type { PageInput, PageRep } from '../page-input.ts';
import { Quantity, load, shownUnit } from '../../pair/units.ts';
import { fileName, liftWords } from '../words.ts';

const cm = new Quantity(shownUnit('rom_m', 'm'), null);

function outcome(rep: PageRep): string {
  const { outcome: o, earlier_attempts: n } = rep.rep;
  const how = o.kind === 'completed' ? 'completed' : `not completed, stopped ${cm.size(o.shortM)} short`;
  return n > 0 ? `${how}, after ${n} earlier ${n === 1 ? 'attempt' : 'attempts'} out of the bottom` : how;
}

const dayWords = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' });
const filmed = (day: string | null): string =>
  day === null ? '' : `, filmed on ${dayWords.format(new Date(day))}`;

function side(which: 'reference' | 'today', input: PageInput): Markup {
  const { clip, rep, loadKg } = input.pair[which];
  return html`<div class="${which}">
    <h2 class="eyebrow">${which === 'reference' ? 'Reference' : 'Today'}</h2>
    <p class="load">${loadKg === null ? 'load not given' : load(loadKg)}</p>
    <p>${fileName(clip)}</p>
    <p class="small">rep ${rep}, ${outcome(input[which])}${filmed(input.days[which])}</p>
  </div>`;
}

/** The film lies beside the page, so its address is its name. */
export const filmHref = (file: string): string => `./${encodeURIComponent(fileName(file))}`;

export function header(input: PageInput): Markup {
  const { filmFile, lifter, days } = input;
  return html`<header>
    <p class="eyebrow">Two reps in step${lifter === null ? '' : [' · ', lifter]}</p>
    <h1>${liftWords[input.pair.lift]}: today beside the reference</h1>
    <div class="reps">${side('reference', input)}${side('today', input)}</div>
    ${days.reference || days.today ? null : html`<p class="small">The clips carry no date that can be relied on, so none is given here.</p>`}
    ${filmFile === null ? null : html`<p class="film">Watch both reps in step: <a href="${filmHref(filmFile)}">${fileName(filmFile)}</a>, the film that came with this page. Keep the two in one folder.</p>`}
  </header>`;
}
