import type { ScaleLinear } from 'd3-scale';
import { type Markup, element } from '../markup.ts';
import type { PageRep, PhaseName } from '../page-input.ts';
import { keySample, type Which } from './figure.ts';
import { texts } from '../../texts/texts.ts';

/** A row is its name and a line of blocks under it. */
export const phaseRowHeightPx = 50;
const blockPx = 24;

/** Rough advance of the page's text face at 12 px; only decides whether a word fits its block. */
const charPx = 6.4;

/** The longest form of the name that fits a block; none where none does. */
function wordFor(name: PhaseName, widthPx: number): string | null {
  const { phases, shortPhases } = texts.measures;
  return [phases[name], shortPhases[name]].find((word) => word.length * charPx + 5 <= widthPx) ?? null;
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
    const word = wordFor(phase.name, b - a);
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
    element('text', { x: left + 40, y: topPx + 12 }, texts.page.key[which]),
    blocks,
  );
}
