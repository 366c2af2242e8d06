import type { Column } from './columns.ts';
import { targetGroup } from './scenes.ts';
import type { SceneResult } from './score-worker.ts';

const nameWidth = 24;

/** Rows in the order of groups as they first appear, all clips and the target population first. */
function rowsOf(results: readonly SceneResult[]): [string, SceneResult[]][] {
  const rows = new Map<string, SceneResult[]>([
    ['all', []],
    [targetGroup, []],
  ]);
  for (const result of results) {
    for (const group of result.groups) rows.set(group, [...(rows.get(group) ?? []), result]);
  }
  const first = ['all', targetGroup];
  const name = (key: string): string => (first.includes(key) ? `0${first.indexOf(key)}` : `1${key}`);
  return [...rows].filter(([, r]) => r.length > 0).sort(([a], [b]) => name(a).localeCompare(name(b)));
}

export const figure = (value: number, decimals: number): string =>
  Number.isFinite(value) ? value.toFixed(decimals) : '-';

const cell = ({ of, decimals }: Column, results: readonly SceneResult[]): string => {
  const values = of(results);
  return values.some(Number.isFinite) ? values.map((v) => figure(v, decimals)).join(' / ') : '-';
};

/** A table with one row for each group of clips. */
export function groupTable(columns: readonly Column[], results: readonly SceneResult[]): string {
  return textTable(
    ['', ...columns.map((c) => c.title)],
    rowsOf(results).map(([name, of]) => [name, ...columns.map((c) => cell(c, of))]),
  );
}

/** A table with one row for each clip, and one for all. */
export function clipTable(columns: readonly Column[], results: readonly SceneResult[]): string {
  return textTable(
    ['', ...columns.map((c) => c.title)],
    [...results.map((r) => [r.name, [r]] as const), ['all', results] as const].map(([name, of]) => [
      name,
      ...columns.map((c) => cell(c, of)),
    ]),
  );
}

export function textTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => row[i].length)));
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => (i === 0 ? cell.padEnd(Math.max(nameWidth, widths[0])) : cell.padStart(widths[i])))
      .join('  ');
  return [head, ...rows].map(line).join('\n');
}
