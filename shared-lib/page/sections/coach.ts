import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { bound } from '../words.ts';

/** What the coach asks for next, and what the lifter said hurts. */
export function coachSection(input: PageInput): Markup | null {
  const { cues, painReported } = input;
  const pain =
    painReported === null
      ? null
      : html`<div class="notice">
          <p><strong>Pain was reported:</strong> ${painReported}</p>
          <p>Nothing on this page judges pain. Please see a licensed clinician before training on.</p>
        </div>`;
  const list =
    cues.length === 0
      ? null
      : html`<section aria-labelledby="cues">
          <h2 id="cues">Next time</h2>
          <ol class="cues">
            ${cues.map(
              (c) =>
                html`<li>
                  <p>${bound(c.text)}</p>
                  <p class="why">${bound(c.because)}</p>
                </li>`,
            )}
          </ol>
        </section>`;
  return pain || list ? html`${pain}${list}` : null;
}
