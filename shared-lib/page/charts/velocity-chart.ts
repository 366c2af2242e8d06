import { extent } from 'd3-array';
import { format } from 'd3-format';
import { scaleLinear, type ScaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { type Markup, element } from '../markup.ts';
import type { PageRep } from '../page-input.ts';
import { barAt, samplesWithin } from './bar-path.ts';
import { type Described, key, picture, type Which } from './figure.ts';
import { phaseRow, phaseRowHeightPx } from './phase-row.ts';
import { texts } from '../../texts/texts.ts';

export interface VelocityChartInput {
  reference: PageRep;
  today: PageRep;
}

export type Scale = ScaleLinear<number, number>;

/** Real seconds of the drive's start; the rep's first sample where it has no drive. */
export const driveStartS = (rep: PageRep): number =>
  rep.phases.find((p) => p.name === 'drive')?.fromS ?? rep.path.tS[0] ?? 0;

/** How much of the set-up and of the hold is shown. */
const aroundS = 0.5;

/** Seconds from drive start that hold both reps from just before the start to just after lockout. */
export function shownSpan(reps: readonly PageRep[]): [number, number] {
  const spans = reps.map((rep) => {
    const zero = driveStartS(rep);
    const inside = rep.phases.filter((p) => p.name !== 'set-up' && p.name !== 'hold');
    if (inside.length === 0) return [0, (rep.path.tS.at(-1) ?? 1) - zero];
    return [inside[0].fromS - zero, inside[inside.length - 1].toS - zero];
  });
  return [Math.min(...spans.map((s) => s[0])) - aroundS, Math.max(...spans.map((s) => s[1])) + aroundS];
}

export function velocityScales(input: VelocityChartInput, widthPx: number): { t: Scale; v: Scale } {
  const reps = [input.reference, input.today];
  const span = shownSpan(reps);
  const shown = reps.flatMap((rep) => {
    const zero = driveStartS(rep);
    return samplesWithin(rep.path, zero + span[0], zero + span[1]).map((i) => rep.path.vyMps[i]);
  });
  const [lo = -0.5, hi = 0.5] = extent(shown.filter(Number.isFinite));
  return {
    t: scaleLinear(span, [leftPx, widthPx - rightPx]),
    v: scaleLinear([lo, hi], [topPx + curvesPx, topPx]).nice(5),
  };
}

const [leftPx, rightPx, topPx, curvesPx] = [46, 10, 44, 210];

function curve(rep: PageRep, which: Which, t: Scale, v: Scale): Markup {
  const zero = driveStartS(rep);
  const [fromS, toS] = t.domain();
  const draw = line<number>((i) => t(rep.path.tS[i] - zero), (i) => v(rep.path.vyMps[i])) // prettier-ignore
    .defined((i) => Number.isFinite(rep.path.vyMps[i]))
    .digits(2);
  const dots = rep.events.flatMap((event) => {
    const at = barAt(rep.path, event.tS);
    const inside = event.tS - zero >= fromS && event.tS - zero <= toS;
    return at && inside && Number.isFinite(at.vyMps)
      ? [element('circle', { cx: t(event.tS - zero), cy: v(at.vyMps), r: 4, class: `marker ${which}` })]
      : [];
  });
  return element(
    'g',
    {},
    element('path', { d: draw(samplesWithin(rep.path, zero + fromS, zero + toS)), class: `line ${which}` }),
    dots,
  );
}

function axes(t: Scale, v: Scale, widthPx: number, bottomPx: number): Markup {
  const right = widthPx - rightPx;
  const vTicks = v.ticks(5);
  const tTicks = t.ticks(Math.max(3, Math.round((right - leftPx) / 70)));
  const vText = v.tickFormat(5, '.1f');
  const rows = vTicks.map((value) => [
    element('path', {
      d: `M${leftPx},${v(value).toFixed(1)}H${right}`,
      class: value === 0 ? 'zero' : 'grid',
    }),
    element('text', { x: leftPx - 8, y: v(value) + 4, class: 'end' }, vText(value)),
  ]);
  const columns = tTicks.map((value) => [
    element('path', {
      d: `M${t(value).toFixed(1)},${topPx}V${bottomPx}`,
      class: value === 0 ? 'zero' : 'grid',
    }),
    element('text', { x: t(value), y: bottomPx + 18, class: 'middle' }, format('~r')(value)),
  ]);
  return element(
    'g',
    { class: 'axes' },
    rows,
    columns,
    element('text', { x: 4, y: topPx - 14 }, texts.page.velocity.up),
    element(
      'text',
      { x: (leftPx + right) / 2, y: bottomPx + 36, class: 'middle' },
      texts.page.velocity.seconds,
    ),
  );
}

/** Vertical velocity of both reps from drive start, their phases as two rows of blocks on the same time axis. */
export function velocityChart(input: VelocityChartInput, described: Described, widthPx: number): Markup {
  const { t, v } = velocityScales(input, widthPx);
  const rowsPx = topPx + curvesPx + 12;
  const bottomPx = rowsPx + 2 * phaseRowHeightPx;
  return picture(
    described,
    widthPx,
    bottomPx + 44,
    'velocity-chart',
    key(Math.max(leftPx + 50, widthPx - 230), 14),
    axes(t, v, widthPx, bottomPx),
    curve(input.reference, 'reference', t, v),
    curve(input.today, 'today', t, v),
    phaseRow(input.reference, 'reference', t, driveStartS(input.reference), rowsPx),
    phaseRow(input.today, 'today', t, driveStartS(input.today), rowsPx + phaseRowHeightPx),
  );
}
