import { format } from 'd3-format';
import type { ClipFile } from '../../contract/clip.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { decimalsFor, shownUnit } from '../units.ts';
import { fileName, verdictWords } from '../words.ts';

const degrees = (value: number, u95: number): string => {
  const text = format(`.${decimalsFor(u95, shownUnit('', 'rad'))}f`);
  return `${text(Math.abs(value))}° ± ${text(u95)}°`;
};

function check(title: string, clip: ClipFile): Markup {
  const c = clip.check;
  const facts: [string, string][] = [
    ['Off square', degrees(c.offSquareDeg, c.offSquareU95Deg)],
    ['Camera leaning', degrees(c.rollDeg, c.rollU95Deg)],
    ['Camera shake', `${format('.1f')(c.shakePx)} pixels`],
    [
      'Frames a second',
      `${format('.3~r')(c.fps)}, ${c.unevenness > 1.2 ? 'unevenly spaced' : 'evenly spaced'}${c.duplicatedFrames > 0 ? `, ${c.duplicatedFrames} doubled` : ''}`,
    ],
    ...(c.blurPx === null
      ? []
      : ([['Smear at full speed', `${format('.1f')(c.blurPx)} pixels`]] as [string, string][])),
    ['Disc in the picture', `${format('.0f')(c.discDiameterPx)} pixels across`],
    ['Bar not seen', `${format('.0%')(c.hiddenShare)} of the rep`],
    ['Horizontal measures', verdictWords[c.verdicts.drift]],
    ['Heights', verdictWords[c.verdicts.vertical]],
    ['Velocity', verdictWords[c.verdicts.velocity]],
    ['Tempo', verdictWords[c.verdicts.tempo]],
  ];
  const said = [...(clip.timing.partial ? ['The file is cut short or damaged; what could be read was used.'] : []), ...clip.notes, ...c.advice]; // prettier-ignore
  return html`<div>
    <h3>${title}: ${fileName(clip.media.file)}</h3>
    <dl class="check">
      ${facts.map(
        ([term, value]) =>
          html`<dt>${term}</dt>
            <dd>${value}</dd>`,
      )}
    </dl>
    ${
      said.length === 0
        ? html`<p>Nothing stands in the way of measuring this clip.</p>`
        : html`<ul class="plain">
            ${said.map((s) => html`<li>${s}</li>`)}
          </ul>`
    }
  </div>`;
}

/** What each clip can carry, and how to film the next one. */
export const clipsSection = (input: PageInput): Markup =>
  html`<section aria-labelledby="clips">
    <h2 id="clips">What the clips can carry</h2>
    <div class="clips">${check('Reference', input.reference.clip)}${check('Today', input.today.clip)}</div>
  </section>`;
