import type { Call, Change } from '../../contract/pair.ts';
import { directionWords } from '../../pair/sentences.ts';
import { intervalStrip } from '../charts/interval-strip.ts';
import { html, type Markup } from '../markup.ts';
import type { HeadlineSentence, PageInput } from '../page-input.ts';
import {
  bound,
  changeEnds,
  changeWords,
  forwardSign,
  isHorizontal,
  label,
  sentence,
  sentenceCase,
} from '../words.ts';
import { callTag } from './call-tag.ts';

const numerals = ['none', 'one', 'two', 'three', 'four', 'five', 'six'];
const count = (n: number) => numerals[n] ?? String(n);

/** What n measures with a call do: "two differ". */
const says: Record<Call, (who: string, n: number) => string> = {
  changed: (who, n) => `${who} ${n === 1 ? 'has' : 'have'} changed`,
  differs: (who, n) => `${who} ${n === 1 ? 'differs' : 'differ'}`,
  'no clear change': (who, n) => `${who} ${n === 1 ? 'shows' : 'show'} no clear change`,
  'cannot tell': (who) => `for ${who} these clips cannot tell`,
};

/** "Of six headline measures, two differ, three show no clear change, and for one these clips cannot tell." */
export function summary(headlines: readonly HeadlineSentence[]): string {
  const called = headlines.flatMap((h) => (h.call === null ? [] : [h.call]));
  const n = called.length;
  const present = (Object.keys(says) as Call[]).filter((call) => called.includes(call));
  if (n === 0) return 'No headline measure could be called for this pair.';
  if (present.length === 1) {
    const all = n === 2 ? 'both' : `all ${count(n)}`;
    const who = n === 1 ? 'the one headline measure' : `${all} headline measures`;
    return sentenceCase(`${says[present[0]](who, n)}.`);
  }
  const parts = present.map((call) => {
    const some = called.filter((c) => c === call).length;
    return says[call](count(some), some);
  });
  return `Of ${count(n)} headline measures, ${parts.slice(0, -1).join(', ')}, and ${parts.at(-1)}.`;
}

function strip(h: HeadlineSentence, place: number, c: Change | undefined, input: PageInput): Markup | null {
  if (!c || c.change === null || c.lo95 === null || c.hi95 === null) return null;
  const d = directionWords(input.pair.lift);
  const words = changeWords(c, d);
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
      title: `Change: ${label(h.name, input.pair.lift)}`,
      finding: `${words.change}, 95 % interval ${words.interval}.`,
    },
  );
}

/** "1.72 s in the reference, 1.28 s today." */
function bothValues(c: Change, input: PageInput): string {
  if (c.reference === null || c.today === null) return '';
  const w = changeWords(c, directionWords(input.pair.lift));
  return `${w.reference} in the reference, ${w.today} today.`;
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
    <summary>${rest.length} more, shown without a call</summary>
    <ul class="plain">
      ${rest.map((c) => html`<li>${bound(sentence(c, input.pair.lift))}</li>`)}
    </ul>
  </details>`;
}

/** The headline measures in sentences, each with its call, its reason and its interval; the others folded. */
export function changesSection(input: PageInput): Markup {
  return html`<section aria-labelledby="changes">
    <h2 id="changes">What changed</h2>
    <p class="lead">${summary(input.headlines)}</p>
    <ul class="changes">
      ${input.headlines.map((h, place) => headline(h, place, input))}
    </ul>
    <p class="small">
      In each small chart the diamond is the measured change, today minus reference, the line its 95 %
      interval, the upright line no change; inside the grey zone a change is too small to act on.
    </p>
    ${others(input)}
  </section>`;
}
