import { scaleLinear } from 'd3-scale';
import { type Markup, element } from '../markup.ts';
import { type Described, picture } from './figure.ts';

export interface IntervalStripInput {
  change: number;
  lo95: number;
  hi95: number;
  /** The difference worth acting on; null where none is agreed. */
  delta: number | null;
  /** What less and more are called. */
  ends: readonly [string, string];
  /** -1 turns the strip round, so that it runs the way the pictures do. */
  forward: 1 | -1;
}

const [widthPx, heightPx, edgePx, axisPx] = [240, 46, 6, 14];

/** The scale of a strip: no change in the middle, everything inside. */
export function stripScale(s: IntervalStripInput) {
  const most = Math.max(Math.abs(s.lo95), Math.abs(s.hi95), Math.abs(s.change), s.delta ?? 0) * 1.12 || 1;
  return scaleLinear([-most * s.forward, most * s.forward], [edgePx, widthPx - edgePx]);
}

/** A change with its 95 % interval against no change and the zone too small to act on. */
export function intervalStrip(s: IntervalStripInput, described: Described): Markup {
  const x = stripScale(s);
  const [left, right] = s.forward === 1 ? s.ends : [s.ends[1], s.ends[0]];
  const across = (a: number, b: number) =>
    [Math.min(x(a), x(b)), Math.abs(x(a) - x(b))].map((px) => Math.round(px * 10) / 10);
  const zone = s.delta === null ? null : across(-s.delta, s.delta);
  const [from, width] = across(s.lo95, s.hi95);
  return picture(
    described,
    widthPx,
    heightPx,
    'strip',
    zone && element('rect', { x: zone[0], y: 2, width: zone[1], height: 24, class: 'zone' }),
    zone && element('path', { d: `M${zone[0]},2v24m${zone[1]},-24v24`, class: 'zone-edge' }),
    element('path', { d: `M${edgePx},${axisPx}H${widthPx - edgePx}`, class: 'grid' }),
    element('path', { d: `M${x(0)},1V27`, class: 'zero' }),
    element('path', {
      d: `M${from},${axisPx}h${width}M${from},9v10m${width},-10v10`,
      class: 'interval',
    }),
    element('path', { d: `M${x(s.change).toFixed(1)},7l5.5,7l-5.5,7l-5.5,-7z`, class: 'point' }),
    element('text', { x: edgePx, y: 43 }, left),
    element('text', { x: widthPx - edgePx, y: 43, class: 'end' }, right),
  );
}
