import type { ScaleLinear } from 'd3-scale';
import { type Markup, element } from '../markup.ts';
import type { PageRep, PhaseName } from '../page-input.ts';
import { keySample, type Which } from './figure.ts';

/** A row is its name and a line of blocks under it. */
export const phaseRowHeightPx = 50;
const blockPx = 24;

/** Rough advance of the page's text face at 12 px; only decides whether a word fits its block. */
const charPx = 6.4;

/** The letter that stands in a block too short for the word. */
export const phaseLetter: Record<PhaseName, string> = {
  'set-up': 's',
  descent: 'd',
  pause: 'p',
  drive: 'u',
  hold: 'h',
};

function label(name: PhaseName, widthPx: number): string | null {
  if (widthPx >= name.length * charPx + 6) return name;
  return widthPx >= 10 ? phaseLetter[name] : null;
}

/** One rep's phases as blocks on the time axis of the chart above; each tells itself by word and filling. */
export function phaseRow(
  rep: PageRep,
  which: Which,
  t: ScaleLinear<number, number>,
  zeroS: number,
  topPx: number,
): Markup {
  const [fromS, toS] = t.domain();
  const y = topPx + 18;
  const blocks = rep.phases.map((phase) => {
    const a = t(Math.max(fromS, phase.fromS - zeroS));
    const b = t(Math.min(toS, phase.toS - zeroS));
    if (!(b > a)) return null;
    const word = label(phase.name, b - a);
    return [
      element('rect', {
        x: a + 0.5,
        y,
        width: Math.max(1, b - a - 1),
        height: blockPx,
        class: `block ${phase.name}`,
      }),
      word === null
        ? null
        : element('text', { x: (a + b) / 2, y: y + 16, class: `middle block-word ${phase.name}` }, word),
    ];
  });
  const left = t.range()[0];
  return element(
    'g',
    {},
    keySample(which, left, topPx + 8),
    element('text', { x: left + 40, y: topPx + 12 }, which),
    blocks,
  );
}
