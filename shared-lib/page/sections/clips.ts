import { format } from 'd3-format';
import type { ClipFile } from '../../contract/clip.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { decimalsFor, percent, shownUnit } from '../../pair/units.ts';
import { texts } from '../../texts/texts.ts';
import { bound, fileName } from '../words.ts';

const words = texts.page.clips;

/** 95th percentile over median of the frame intervals from which frames count as uneven (common practice). */
const unevenFrom = 1.2;

const degrees = (value: number, u95: number): string => {
  const text = format(`.${decimalsFor(u95, shownUnit('', 'rad'))}f`);
  return `${text(Math.abs(value))}° ± ${text(u95)}°`;
};

const pixels = (px: number, decimals: 0 | 1): string => words.pixels(format(`.${decimals}f`)(px));

function frames({ fps, unevenness, duplicatedFrames }: ClipFile['check']): string {
  const shown = format('.3~r')(fps);
  const spaced = unevenness >= unevenFrom ? words.uneven(shown) : words.even(shown);
  return duplicatedFrames > 0 ? words.doubled(spaced, duplicatedFrames) : spaced;
}

const facts: readonly (readonly [term: string, value: (c: ClipFile['check']) => string])[] = [
  [words.offSquare, (c) => degrees(c.offSquareDeg, c.offSquareU95Deg)],
  [words.roll, (c) => degrees(c.rollDeg, c.rollU95Deg)],
  [words.shake, (c) => pixels(c.shakePx, 1)],
  [words.fps, frames],
  [words.blur, (c) => (c.blurPx === null ? words.notKnown : pixels(c.blurPx, 1))],
  [words.disc, (c) => pixels(c.discDiameterPx, 0)],
  [words.hidden, (c) => words.ofTheRep(percent(c.hiddenShare))],
  [words.drift, (c) => texts.measures.verdicts[c.verdicts.drift]],
  [words.vertical, (c) => texts.measures.verdicts[c.verdicts.vertical]],
  [words.velocity, (c) => texts.measures.verdicts[c.verdicts.velocity]],
  [words.tempo, (c) => texts.measures.verdicts[c.verdicts.tempo]],
];

function advice(clip: ClipFile): Markup {
  const partial = clip.timing.partial ? [words.cutShort] : [];
  const said = [...partial, ...clip.notes, ...clip.check.advice];
  return html`<div>
    <h3>${fileName(clip.media.file)}</h3>
    ${
      said.length === 0
        ? html`<p>${words.fine}</p>`
        : html`<ul class="plain">
            ${said.map((s) => html`<li>${bound(s)}</li>`)}
          </ul>`
    }
  </div>`;
}

/** What each clip can carry, and how to film the next one. */
export function clipsSection(input: PageInput): Markup {
  const [a, b] = [input.reference.clip, input.today.clip];
  return html`<section aria-labelledby="clips">
    <h2 id="clips">${words.title}</h2>
    <table class="check">
      <thead>
        <tr>
          <th scope="col">${words.check}</th>
          <th scope="col">${texts.page.sides.reference}</th>
          <th scope="col">${texts.page.sides.today}</th>
        </tr>
      </thead>
      <tbody>
        ${facts.map(
          ([term, value]) =>
            html`<tr>
              <th scope="row">${term}</th>
              <td>${value(a.check)}</td>
              <td>${value(b.check)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
    <div class="clips">${advice(a)}${advice(b)}</div>
  </section>`;
}
