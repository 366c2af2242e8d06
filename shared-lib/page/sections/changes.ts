import type { Call, Change } from '../../contract/pair.ts';
import { intervalStrip } from '../charts/interval-strip.ts';
import { html, type Markup } from '../markup.ts';
import type { HeadlineSentence, PageInput } from '../page-input.ts';
import {
  callMeaning,
  changeEnds,
  changeWords,
  type Directions,
  directions,
  forwardSign,
  isHorizontal,
  measureLabel,
  sentenceCase,
} from '../words.ts';

export const callTag = (call: Call): Markup =>
  html`<span class="call ${call.replaceAll(' ', '-')}">${call}</span>`;

const numerals = ['none', 'one', 'two', 'three', 'four', 'five', 'six'];
const count = (n: number) => numerals[n] ?? String(n);

/** "Of six headline measures, two differ, three show no clear change and one cannot be told." */
export function summary(headlines: readonly HeadlineSentence[]): string {
  const called = headlines.flatMap((h) => (h.call === null ? [] : [h.call]));
  const says: Record<Call, (n: number) => string> = {
    changed: (n) => `${count(n)} ${n === 1 ? 'has' : 'have'} changed`,
    differs: (n) => `${count(n)} ${n === 1 ? 'differs' : 'differ'}`,
    'no clear change': (n) => `${count(n)} ${n === 1 ? 'shows' : 'show'} no clear change`,
    'cannot tell': (n) => `${count(n)} cannot be told`,
  };
  const parts = (Object.keys(says) as Call[]).flatMap((call) => {
    const n = called.filter((c) => c === call).length;
    return n === 0 ? [] : [says[call](n)];
  });
  if (parts.length === 0) return 'No headline measure could be called for this pair.';
  const list = parts.length === 1 ? parts[0] : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
  return `Of ${count(called.length)} headline measure${called.length === 1 ? '' : 's'}, ${list}.`;
}

function strip(h: HeadlineSentence, c: Change | undefined, input: PageInput, d: Directions): Markup | null {
  if (!c || c.change === null || c.lo95 === null || c.hi95 === null) return null;
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
      id: `strip-${h.name}`,
      title: `Change of ${measureLabel(h.name)}`,
      finding: `${words.change}, 95 % interval ${words.interval}.`,
    },
  );
}

function headline(h: HeadlineSentence, input: PageInput, d: Directions): Markup {
  const change = input.pair.changes.find((c) => c.name === h.name);
  const meaning = h.call === 'differs' || h.call === 'changed' ? callMeaning[h.call] : null;
  return html`<li>
    <div>
      ${h.call === null ? null : callTag(h.call)}
      <p>${h.sentence}</p>
      ${meaning && html`<p class="why">${meaning}</p>`}
      ${change?.why ? html`<p class="why">${change.why}</p>` : null}
    </div>
    ${strip(h, change, input, d)}
  </li>`;
}

/** A measure that is not called, as one sentence. */
export function plainSentence(c: Change, d: Directions): string {
  const label = sentenceCase(measureLabel(c.name));
  const w = changeWords(c, d);
  if (c.reference === null && c.today === null) return `${label}: ${c.why || 'in neither rep.'}`;
  if (c.change === null)
    return `${label}: ${w.reference} in the reference, ${w.today} today. ${c.why}`.trim();
  const interval = w.interval === '–' ? '' : ` (95 %: ${w.interval})`;
  return `${label}: ${w.reference} in the reference, ${w.today} today, a difference of ${w.change}${interval}.`;
}

export function changesSection(input: PageInput): Markup {
  const d = directions(input.pair.lift);
  const named = new Set(input.headlines.map((h) => h.name));
  const others = input.pair.changes.filter((c) => !named.has(c.name));
  return html`<section aria-labelledby="changes">
    <h2 id="changes">What changed</h2>
    <p class="lead">${summary(input.headlines)}</p>
    <p class="small">
      In each small chart the diamond is the measured change, today minus reference, the line its 95 %
      interval, the upright line no change; the grey zone is too small to act on.
    </p>
    <ul class="changes">
      ${input.headlines.map((h) => headline(h, input, d))}
    </ul>
    ${
      others.length === 0
        ? null
        : html`<details>
            <summary>${others.length} more, shown without a call</summary>
            <ul class="plain">
              ${others.map((c) => html`<li>${plainSentence(c, d)}</li>`)}
            </ul>
          </details>`
    }
  </section>`;
}

export function changesTable(input: PageInput): Markup {
  const d = directions(input.pair.lift);
  const row = (c: Change) => {
    const w = changeWords(c, d);
    return html`<tr>
      <th scope="row">${sentenceCase(measureLabel(c.name))}</th>
      <td>${w.reference}</td>
      <td>${w.today}</td>
      <td>${w.change}</td>
      <td>${w.interval}</td>
      <td>${c.call === null ? 'not called' : callTag(c.call)}</td>
    </tr> `;
  };
  return html`<section aria-labelledby="measures">
    <h2 id="measures">Every measure</h2>
    <div class="scroller" role="region" aria-labelledby="measures" tabindex="0">
      <table class="measures">
        <caption>
          Change is today minus reference. Horizontal positions are told from each rep’s own start.
        </caption>
        <thead>
          <tr>
            <th scope="col">Measure</th>
            <th scope="col">Reference</th>
            <th scope="col">Today</th>
            <th scope="col">Change</th>
            <th scope="col">95 % interval</th>
            <th scope="col">Call</th>
          </tr>
        </thead>
        <tbody>
          ${input.pair.changes.map(row)}
        </tbody>
      </table>
    </div>
  </section>`;
}
