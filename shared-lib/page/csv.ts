import { csvFormatRows } from 'd3-dsv';
import type { Change } from '../contract/pair.ts';
import type { SampleState } from '../contract/trace.ts';

/** One frame of trace.csv. Positions are NaN, or null, where the bar was lost. */
export interface TraceRow {
  frame: number;
  /** The frame's own time stamp in the file, and real time since the clip's first frame. */
  ptsS: number;
  tS: number;
  /** The disc's centre, displayed pixels. */
  xPx: number | null;
  yPx: number | null;
  /** The bar as measured and as smoothed, metres from the first rep's start. */
  xM: number | null;
  yM: number | null;
  smoothedXM: number | null;
  smoothedYM: number | null;
  confidence: number;
  state: SampleState;
}

/** Fixed decimals, an empty cell for what is not a number, and never "-0.000". */
const cell = (value: number | null, decimals: number): string => {
  if (value === null || !Number.isFinite(value)) return '';
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text;
};

/**
 * Text that no table program takes for a formula: those begin with one of these signs (OWASP, "CSV Injection"; from
 * memory), and a quote before it makes it text.
 */
const textCell = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);

const traceColumns = 'frame,pts_s,t_s,px,py,x_m,y_m,sx_m,sy_m,confidence,state'.split(',');

/** trace.csv: times to a microsecond, pixels to a thousandth, metres to a hundredth of a millimetre. */
export function traceCsv(rows: readonly TraceRow[]): string {
  const lines = rows.map((r) => {
    const seen = (value: number | null, decimals: number) =>
      r.state === 'lost' ? '' : cell(value, decimals);
    return [
      String(r.frame),
      cell(r.ptsS, 6),
      cell(r.tS, 6),
      seen(r.xPx, 3),
      seen(r.yPx, 3),
      seen(r.xM, 5),
      seen(r.yM, 5),
      seen(r.smoothedXM, 5),
      seen(r.smoothedYM, 5),
      cell(r.confidence, 3),
      r.state,
    ];
  });
  return csvFormatRows([traceColumns, ...lines]) + '\n';
}

const changeColumns = 'name,unit,reference,today,change,lo95,hi95,u95,call,why'.split(',');

/** changes.csv: SI units; empty cells where a number or a call does not exist. */
export function changesCsv(changes: readonly Change[]): string {
  const lines = changes.map((c) => [
    c.name,
    c.unit,
    ...[c.reference, c.today, c.change, c.lo95, c.hi95, c.u95].map((v) => cell(v, 6)),
    c.call ?? '',
    textCell(c.why),
  ]);
  return csvFormatRows([changeColumns, ...lines]) + '\n';
}
