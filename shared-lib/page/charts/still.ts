import { line } from 'd3-shape';
import { type Markup, element } from '../markup.ts';
import type { PixelPath } from '../page-input.ts';
import { type Described, picture, type Which } from './figure.ts';

export interface StillInput {
  which: Which;
  /** base64 */
  jpeg: string;
  widthPx: number;
  heightPx: number;
  path: PixelPath;
}

/** One picture with the bar's way up to that moment; the line has a light casing to stand on any ground. */
export function still(input: StillInput, described: Described): Markup {
  const { widthPx, heightPx, which } = input;
  const d = line<readonly [number, number]>((p) => p[0], (p) => p[1]) // prettier-ignore
    .defined((p) => Number.isFinite(p[0] + p[1]))
    .digits(1)([...input.path]);
  const here = input.path.at(-1);
  const unit = Math.max(widthPx, heightPx) / 320;
  const dot = here !== undefined && Number.isFinite(here[0] + here[1]) ? here : null;
  // base64 has no character that needs escaping; anything else is no picture.
  const jpeg = /^[A-Za-z0-9+/]+={0,2}$/.test(input.jpeg) ? input.jpeg : null;
  return picture(
    described,
    widthPx,
    heightPx,
    'still',
    jpeg && element('image', { href: `data:image/jpeg;base64,${jpeg}`, width: widthPx, height: heightPx }),
    d && element('path', { d, class: 'casing' }),
    d && element('path', { d, class: `line ${which}` }),
    dot && element('circle', { cx: dot[0], cy: dot[1], r: 6.5 * unit, class: 'casing-disc' }),
    dot && element('circle', { cx: dot[0], cy: dot[1], r: 4.5 * unit, class: `marker ${which}` }),
  );
}
