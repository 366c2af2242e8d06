import { textTable } from '../accuracy/table.ts';

/** What a figure should come to. */
export type Target = { most: number } | { least: number } | { from: number; to: number };

/** One figure of a run, beside what it should come to where that is agreed. */
export interface Figure {
  name: string;
  value: number;
  unit: string;
  target?: Target;
}

const digits = 3;
const said = (value: number): string => String(Number(value.toPrecision(digits)));

function wanted(target: Target): string {
  if ('most' in target) return `at most ${said(target.most)}`;
  if ('least' in target) return `at least ${said(target.least)}`;
  return `${said(target.from)} to ${said(target.to)}`;
}

/** `met`, or by how many per cent not. */
export function verdict(value: number, target: Target): string {
  const [from, to] = [
    'most' in target ? -Infinity : 'least' in target ? target.least : target.from,
    'most' in target ? target.most : 'least' in target ? Infinity : target.to,
  ];
  const percent = (share: number): string => `${Math.ceil(100 * share)} %`;
  if (value > to) return `${percent(value / to - 1)} over`;
  if (value < from) return `${percent(1 - value / from)} under`;
  return Number.isNaN(value) ? 'not measured' : 'met';
}

/** All figures of a run as a table. */
export const figureTable = (figures: readonly Figure[]): string =>
  textTable(
    ['', 'figure', 'unit', 'target', ''],
    figures.map(({ name, value, unit, target }) => [
      name,
      said(value),
      unit,
      target ? wanted(target) : '',
      target ? verdict(value, target) : '',
    ]),
  );
