import type { Change } from '../../contract/pair.ts';
import { directionWords } from '../../pair/sentences.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { changeWords, label, sentenceCase } from '../words.ts';
import { callTag } from './call-tag.ts';
import { texts } from '../../texts/texts.ts';

const words = texts.page.measures;

function row(c: Change, input: PageInput): Markup {
  const { lift } = input.pair;
  const w = changeWords(c, directionWords(lift));
  return html`<tr>
    <th scope="row">${sentenceCase(label(c.name, lift))}</th>
    <td>${w.reference}</td>
    <td>${w.today}</td>
    <td>${w.change}</td>
    <td>${w.interval}</td>
    <td>${c.call === null ? words.notCalled : callTag(c.call)}</td>
  </tr>`;
}

/** Every measure of the pair in one table that scrolls by itself where the screen is narrow. */
export function measuresSection(input: PageInput): Markup {
  return html`<section aria-labelledby="measures">
    <h2 id="measures">${words.title}</h2>
    <div class="scroller" role="region" aria-labelledby="measures" tabindex="0">
      <table class="measures">
        <caption>
          ${words.caption}
        </caption>
        <thead>
          <tr>
            <th scope="col">${words.measure}</th>
            <th scope="col">${texts.page.sides.reference}</th>
            <th scope="col">${texts.page.sides.today}</th>
            <th scope="col">${words.change}</th>
            <th scope="col">${words.interval}</th>
            <th scope="col">${words.call}</th>
          </tr>
        </thead>
        <tbody>
          ${input.pair.changes.map((c) => row(c, input))}
        </tbody>
      </table>
    </div>
  </section>`;
}
