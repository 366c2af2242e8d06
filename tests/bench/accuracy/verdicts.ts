import { median, quantile } from 'd3-array';
import { verdictSchema } from '../../../shared-lib/contract/clip.ts';
import type { ClipScore } from '../score-clip.ts';
import type { SceneResult } from './score-worker.ts';
import { figure, textTable } from './table.ts';

type Kind = keyof ClipScore['verdicts'];

/** The errors that a verdict on a kind of measure speaks of: of the clip, of each rep, of each event. */
const kinds: readonly [kind: Kind, error: string, of: (score: ClipScore) => readonly number[]][] = [
  ['drift', 'path from start, mm', (s) => [s.fromStartMm]],
  ['vertical', 'range, mm', (s) => s.romMm],
  ['velocity', 'mean v, %', (s) => s.meanDrivePct],
  ['tempo', 'events, ms', (s) => [...s.startMs, ...s.bottomMs, ...s.driveStartMs, ...s.lockoutMs]],
];

/** What the clip check says of each kind of measure, beside the errors that were found where it says so. */
export function verdictTable(results: readonly SceneResult[]): string {
  const scores = results.flatMap(({ score }) => (score && !score.wrong ? [score] : []));
  const rows = kinds.flatMap(([kind, error, of]) =>
    verdictSchema.options.flatMap((verdict) => {
      const said = scores.filter((score) => score.verdicts[kind] === verdict);
      const errors = said.flatMap((score) => of(score).filter(Number.isFinite));
      const figures = [median(errors) ?? NaN, quantile(errors, 0.95) ?? NaN].map((v) => figure(v, 1));
      return said.length > 0 ? [[`${kind}: ${error}`, verdict, `${said.length}`, ...figures]] : [];
    }),
  );
  return textTable(['', 'verdict', 'clips', 'median error', '95 %'], rows);
}
