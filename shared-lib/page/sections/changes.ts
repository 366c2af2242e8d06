import type { Call, Change } from '../../contract/pair.ts';
import { directionWords } from '../../pair/sentences.ts';
import { intervalStrip } from '../charts/interval-strip.ts';
import { html, type Markup } from '../markup.ts';
import type { HeadlineSentence, PageInput } from '../page-input.ts';
import { bound, changeEnds, changeWords, forwardSign, isHorizontal, label, sentence } from '../words.ts';
import { callTag } from './call-tag.ts';
import { texts } from '../../texts/texts.ts';

const words = texts.page.changes;
const callsInOrder = [
  'changed',
  'differs',
  'no clear change',
  'cannot tell',
] as const satisfies readonly Call[];

/** "Of six headline measures, two differ, three show no clear change, and for one these clips cannot tell." */
export function summary(headlines: readonly HeadlineSentence[]): string {
  const called = headlines.flatMap((h) => (h.call === null ? [] : [h.call]));
  const n = called.length;
  const present = callsInOrder.filter((call) => called.includes(call));
  if (n === 0) return words.none;
  if (present.length === 1) return words.all[present[0]](n);
  return words.of(
    n,
    present.map((call) => words.some[call](called.filter((c) => c === call).length)),
  );
}

function strip(h: HeadlineSentence, place: number, c: Change | undefined, input: PageInput): Markup | null {
  if (!c || c.change === null || c.lo95 === null || c.hi95 === null) return null;
  const d = directionWords(input.pair.lift);
  const w = changeWords(c, d);
  return intervalStrip(
    {
      change: c.change,
      lo95: c.lo95,
      hi95: c.hi95,
      delta: h.delta,
      ends: changeEnds(c.name, c.unit, d),
      forward: isHorizontal(c.name) ? forwardSign(input.reference.clip.calibration.facing) : 1,
    },
    {
      id: `strip-${place}`,
      title: words.strip(label(h.name, input.pair.lift)),
      finding: words.stripFinding(w.change, w.interval),
    },
  );
}

/** "1.72 s in the reference, 1.28 s today." */
function bothValues(c: Change, input: PageInput): string {
  if (c.reference === null || c.today === null) return '';
  const w = changeWords(c, directionWords(input.pair.lift));
  return words.bothValues(w.reference, w.today);
}

function headline(h: HeadlineSentence, place: number, input: PageInput): Markup {
  const change = input.pair.changes.find((c) => c.name === h.name);
  // A sentence that ends in its own reason needs it no second time.
  const why = change && !h.sentence.includes(change.why.slice(1)) ? change.why : '';
  return html`<li>
    ${h.call === null ? null : html`<p>${callTag(h.call)}</p>`}
    <div class="said">
      <p>${bound(h.sentence)}</p>
      <p class="why">${change ? bothValues(change, input) : null} ${bound(why)}</p>
    </div>
    ${strip(h, place, change, input)}
  </li>`;
}

function others(input: PageInput): Markup | null {
  const named = new Set(input.headlines.map((h) => h.name));
  const rest = input.pair.changes.filter((c) => !named.has(c.name));
  if (rest.length === 0) return null;
  return html`<details>
    <summary>${words.more(rest.length)}</summary>
    <ul class="plain">
      ${rest.map((c) => html`<li>${bound(sentence(c, input.pair.lift))}</li>`)}
    </ul>
  </details>`;
}

/** The headline measures in sentences, each with its call, its reason and its interval; the others folded. */
export function changesSection(input: PageInput): Markup {
  return html`<section aria-labelledby="changes">
    <h2 id="changes">${words.title}</h2>
    <p class="lead">${summary(input.headlines)}</p>
    <ul class="changes">
      ${input.headlines.map((h, place) => headline(h, place, input))}
    </ul>
    <p class="small">${words.howDrawn}</p>
    ${others(input)}
  </section>`;
}
