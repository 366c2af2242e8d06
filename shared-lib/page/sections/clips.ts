import { format } from 'd3-format';
import type { ClipFile } from '../../contract/clip.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { decimalsFor, percent, shownUnit } from '../../pair/units.ts';
import { bound, fileName, verdictWords } from '../words.ts';

/** 95th percentile over median of the frame intervals from which frames count as uneven (common practice). */
const unevenFrom = 1.2;

const degrees = (value: number, u95: number): string => {
  const text = format(`.${decimalsFor(u95, shownUnit('', 'rad'))}f`);
  return `${text(Math.abs(value))}° ± ${text(u95)}°`;
};

const pixels = (px: number, decimals: 0 | 1): string => `${format(`.${decimals}f`)(px)} pixels`;

function frames({ fps, unevenness, duplicatedFrames }: ClipFile['check']): string {
  const spacing = unevenness >= unevenFrom ? 'unevenly spaced' : 'evenly spaced';
  const doubled = duplicatedFrames > 0 ? `, ${duplicatedFrames} doubled` : '';
  return `${format('.3~r')(fps)}, ${spacing}${doubled}`;
}

const facts: readonly (readonly [term: string, value: (c: ClipFile['check']) => string])[] = [
  ['Angle off square', (c) => degrees(c.offSquareDeg, c.offSquareU95Deg)],
  ['Lean of the camera', (c) => degrees(c.rollDeg, c.rollU95Deg)],
  ['Shake', (c) => pixels(c.shakePx, 1)],
  ['Frames a second', frames],
  ['Smear at full speed', (c) => (c.blurPx === null ? 'not known' : pixels(c.blurPx, 1))],
  ['Disc, across', (c) => pixels(c.discDiameterPx, 0)],
  ['Bar not seen', (c) => `${percent(c.hiddenShare)} of the rep`],
  ['Horizontal measures', (c) => verdictWords[c.verdicts.drift]],
  ['Heights', (c) => verdictWords[c.verdicts.vertical]],
  ['Velocity', (c) => verdictWords[c.verdicts.velocity]],
  ['Tempo', (c) => verdictWords[c.verdicts.tempo]],
];

function advice(clip: ClipFile): Markup {
  const partial = clip.timing.partial
    ? ['The file is cut short or damaged: only what could be read was used.']
    : [];
  const said = [...partial, ...clip.notes, ...clip.check.advice];
  return html`<div>
    <h3>${fileName(clip.media.file)}</h3>
    ${
      said.length === 0
        ? html`<p>Nothing stands in the way of measuring this clip.</p>`
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
    <h2 id="clips">What the clips can carry</h2>
    <table class="check">
      <thead>
        <tr>
          <th scope="col">Clip check</th>
          <th scope="col">Reference</th>
          <th scope="col">Today</th>
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
