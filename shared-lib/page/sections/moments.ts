import { still } from '../charts/still.ts';
import type { Which } from '../charts/figure.ts';
import { html, type Markup } from '../markup.ts';
import type { CueStill, PageInput, StillPair } from '../page-input.ts';
import { eventWord, sentenceCase } from '../words.ts';
import { fromDriveStart, sinceDriveStart } from './charts.ts';
import { texts } from '../../texts/texts.ts';

const words = texts.page.moments;

function one(which: Which, pair: StillPair | CueStill, id: string, input: PageInput): Markup {
  const rep = input[which];
  const when = 'atS' in pair ? sinceDriveStart(rep, pair.atS[which]) : fromDriveStart(rep, pair.event);
  const picture = still(
    {
      which,
      jpeg: which === 'reference' ? pair.referenceJpeg : pair.todayJpeg,
      path: which === 'reference' ? pair.referencePath : pair.todayPath,
      widthPx: pair.widthPx,
      heightPx: pair.heightPx,
    },
    {
      id: `${id}-${which}`,
      title: words[which](eventWord(pair.event)),
      finding: when === '' ? words.finding : words.findingAt(when),
    },
  );
  return html`<div>
    ${picture}
    <p><strong>${texts.page.key[which]}</strong>${when === '' ? '' : `, ${when}`}</p>
  </div>`;
}

/** Both reps at one moment. */
export const twoStills = (pair: StillPair | CueStill, id: string, input: PageInput): Markup =>
  html`<div class="two ${pair.widthPx > pair.heightPx ? 'lying' : 'upright'}">
    ${one('reference', pair, id, input)}${one('today', pair, id, input)}
  </div>`;

/** Both reps side by side at the moments they share. */
export function momentsSection(input: PageInput): Markup | null {
  if (input.stills.length === 0) return null;
  const lying = input.stills.some((s) => s.widthPx > s.heightPx);
  return html`<section aria-labelledby="moments">
    <h2 id="moments">${words.title}</h2>
    <div class="moments ${lying ? 'lying' : 'upright'}">
      ${input.stills.map(
        (s, i) =>
          html`<figure>
            <figcaption>${sentenceCase(eventWord(s.event))}</figcaption>
            ${twoStills(s, `still-${i}`, input)}
          </figure>`,
      )}
    </div>
  </section>`;
}
