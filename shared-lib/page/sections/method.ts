import { format } from 'd3-format';
import type { ClipFile } from '../../contract/clip.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput } from '../page-input.ts';
import { bound } from '../words.ts';

const list = (sentences: readonly string[]): Markup =>
  html`<ul class="plain">
    ${sentences.map((s) => html`<li>${bound(s)}</li>`)}
  </ul>`;

const disc = (clip: ClipFile) => `${format('.0f')(clip.calibration.discM * 1000)} mm`;

function slowMotion(name: string, clip: ClipFile): string[] {
  const k = clip.calibration.slowMotion;
  if (k === 1) return [];
  const source = { none: 'as assumed', tag: 'as the file is tagged', user: 'as stated by hand' };
  return [`The ${name} clip is slowed ${format('~r')(k)} times, ${source[clip.calibration.slowMotionSource]}; all times and velocities here are real ones.`]; // prettier-ignore
}

export function notesSection(input: PageInput): Markup | null {
  if (input.pair.notes.length === 0) return null;
  return html`<section aria-labelledby="notes">
    <h2 id="notes">To bear in mind</h2>
    ${list(input.pair.notes)}
  </section>`;
}

export function methodSection(input: PageInput): Markup {
  const { pair, reference, today } = input;
  const [a, b] = [disc(reference.clip), disc(today.clip)];
  const discs =
    a === b
      ? `a disc taken as ${a} across in both clips`
      : `discs taken as ${a} across in the reference and ${b} today`;
  return html`<section aria-labelledby="method">
    <h2 id="method">How it was measured, and how sure it is</h2>
    ${list([
      `The bar was followed in every frame of both clips, with ${discs} as the ruler and each frame’s own time stamp as the clock.`,
      ...slowMotion('reference', reference.clip),
      ...slowMotion('today', today.clip),
      `Both reps were smoothed in the same way: ${pair.smoothing.method}; while the bar moves the cut-off is about ${format('.1f')(pair.smoothing.cutoffHz)} Hz.`,
      `The 95 % intervals come from ${format(',')(pair.draws)} repeated calculations with every source of error drawn anew: the trace, the disc’s size, the camera’s lean and angle, the lens, the frame times. ${pair.sameCamera ? 'The camera was taken not to have moved between the clips, so what both share cancels.' : 'The camera was taken to have moved between the clips.'}`,
      'Headline measures carry a call. Their intervals hold all at once, so that at most one unchanged pair in twenty carries any false call. The other measures carry their own interval and no call.',
      'Drift is told from each rep’s own start. Where the bar started over the body shows in no drift.',
      'All measures are of the near end of the bar. A loaded bar bends and turns, and one side says nothing about evenness.',
    ])}
  </section>`;
}
