import { element, html, Markup } from './markup.ts';
import type { PageInput } from './page-input.ts';
import { bodySection } from './sections/body.ts';
import { changesSection } from './sections/changes.ts';
import { velocitySection } from './sections/charts.ts';
import { clipsSection } from './sections/clips.ts';
import { letterSections } from './sections/letter.ts';
import { header } from './sections/header.ts';
import { methodSection, notesSection } from './sections/method.ts';
import { measuresSection } from './sections/measures.ts';
import { momentsSection } from './sections/moments.ts';
import { style, styleHash } from './style.ts';
import { texts } from '../texts/texts.ts';

const words = texts.page;

/** No script, no network, no frame, no form: one style sheet by its hash and pictures inside the file. */
const policy = `default-src 'none'; style-src 'sha256-${styleHash}'; img-src data:; base-uri 'none'; form-action 'none'`;

/** Everything that was measured, under the letter; not for paper. */
function record(input: PageInput): Markup {
  return element(
    'details',
    { class: 'record', open: input.recordOpen ? '' : null },
    html`<summary>${words.record}</summary>
      ${changesSection(input)} ${bodySection(input)} ${velocitySection(input)} ${momentsSection(input)}
      ${notesSection(input)} ${measuresSection(input)} ${clipsSection(input)} ${methodSection(input)}`,
  );
}

/**
 * The hand-back page of a pair: one self-contained HTML file, for a phone, a desk or paper. Everything that
 * comes from outside (file names, notes, sentences) is escaped.
 */
export function renderPage(input: PageInput): string {
  const page = html`<!doctype html>
    <html lang="${words.language}">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <meta name="robots" content="noindex" />
        <meta name="color-scheme" content="light dark" />
        <title>${words.title(texts.measures.liftTitles[input.pair.lift])}</title>
        ${element('style', {}, new Markup(style))}
      </head>
      <body>
        ${header(input)}
        <main>${letterSections(input)} ${record(input)}</main>
        <footer>
          <p>${words.footer}</p>
        </footer>
      </body>
    </html> `;
  return page.text;
}
