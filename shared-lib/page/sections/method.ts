import { format } from 'd3-format';
import type { ClipFile } from '../../contract/clip.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { texts } from '../../texts/texts.ts';
import { bound } from '../words.ts';

const words = texts.page.method;

const list = (sentences: readonly string[]): Markup =>
  html`<ul class="plain">
    ${sentences.map((s) => html`<li>${bound(s)}</li>`)}
  </ul>`;

const disc = (clip: ClipFile) => `${format('.0f')(clip.calibration.discM * 1000)} mm`;

function slowMotion(which: 'reference' | 'today', { calibration }: ClipFile): string[] {
  const { slowMotion: times, slowMotionSource: source } = calibration;
  return times === 1 ? [] : [words.slowed[which](format('~r')(times), words.sources[source])];
}

export function notesSection(input: PageInput): Markup | null {
  if (input.pair.notes.length === 0) return null;
  return html`<section aria-labelledby="notes">
    <h2 id="notes">${texts.page.notes}</h2>
    ${list(input.pair.notes)}
  </section>`;
}

export function methodSection(input: PageInput): Markup {
  const { pair, reference, today } = input;
  const [a, b] = [disc(reference.clip), disc(today.clip)];
  const discs = a === b ? words.oneDisc(a) : words.twoDiscs(a, b);
  return html`<section aria-labelledby="method">
    <h2 id="method">${words.title}</h2>
    ${list([
      words.followed(discs),
      ...slowMotion('reference', reference.clip),
      ...slowMotion('today', today.clip),
      words.smoothed(pair.smoothing.method, format('.1f')(pair.smoothing.cutoffHz)),
      words.intervals(format(',')(pair.draws), pair.sameCamera ? words.sameCamera : words.otherCamera),
      words.headline,
      words.drift,
      words.nearEnd,
    ])}
  </section>`;
}
