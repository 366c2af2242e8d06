import type { Call } from '../../contract/pair.ts';
import { html, type Markup } from '../markup.ts';
import { texts } from '../../texts/texts.ts';

/** A call as a word in a frame; the frames differ in line and filling, never in colour. */
export const callTag = (call: Call): Markup =>
  html`<span class="call ${call.replaceAll(' ', '-')}">${texts.measures.calls[call]}</span>`;
