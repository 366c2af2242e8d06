import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { bound } from '../words.ts';
import { texts } from '../../texts/texts.ts';

/** What differs in the bodies as the coach marked them, each with its uncertainty; nothing where none was marked. */
export function bodySection({ body }: PageInput): Markup | null {
  if (body.length === 0) return null;
  return html`<section aria-labelledby="body">
    <h2 id="body">${texts.page.body}</h2>
    <ul class="plain">
      ${body.map((sentence) => html`<li>${bound(sentence)}</li>`)}
    </ul>
  </section>`;
}
