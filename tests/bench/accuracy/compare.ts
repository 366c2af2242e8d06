import { checkColumns, eventColumns, followingColumns, velocityColumns, type Column } from './columns.ts';
import { figure } from './table.ts';
import type { SceneResult } from './score-worker.ts';

export const asJson = (results: readonly SceneResult[]): string => `${JSON.stringify(results)}\n`;

/** What `asJson` wrote; figures that are not there were written as null. */
export function fromJson(text: string): SceneResult[] {
  const mayBeNull = new Set(['score', 'error', 'shown']);
  const revive = (key: string, value: unknown): unknown =>
    value === null && !mayBeNull.has(key) ? NaN : value;
  return JSON.parse(text, revive) as SceneResult[];
}

/** A figure must grow by this share, and by one in its last shown place but one, to count as worse. */
const leastShare = 0.1;

/** Lines that say what is worse now than before, for the clips that are in both. */
export function worseThan(before: readonly SceneResult[], now: readonly SceneResult[]): string[] {
  const old = new Map(before.map((r) => [r.name, r]));
  const shared = now.filter((r) => old.has(r.name));
  const was = shared.map((r) => old.get(r.name) as SceneResult);
  const lines = shared.flatMap((r, i) => {
    const found = (one: SceneResult): boolean => one.score !== null && !one.score.wrong;
    if (found(was[i]) && !found(r)) {
      return [`${r.name}: ${r.error ?? 'the wrong disc is followed'} (it was measured before)`];
    }
    return worseFigures(r.name, [was[i]], [r], [...followingColumns, ...velocityColumns, ...eventColumns]);
  });
  const together = worseFigures('all shared clips', was, shared, [
    ...followingColumns,
    ...velocityColumns,
    ...eventColumns,
    ...checkColumns,
  ]);
  return [...together, ...lines];
}

function worseFigures(
  name: string,
  before: readonly SceneResult[],
  now: readonly SceneResult[],
  columns: readonly Column[],
): string[] {
  return columns.flatMap((column) => {
    const was = column.of(before);
    return column.of(now).flatMap((b, i) => {
      const rise = column.moreIsBetter ? was[i] - b : b - was[i];
      if (!(rise > Math.max(leastShare * Math.abs(was[i]), 10 ** (1 - column.decimals)))) return [];
      const title = i === 0 ? column.title : `${column.title}, 95th percentile`;
      return [`${name}: ${title} ${figure(was[i], column.decimals)} -> ${figure(b, column.decimals)}`];
    });
  });
}
