import { spawnSync } from 'node:child_process';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { max, median, quantile } from 'd3-array';
import { z } from 'zod';
import { figure, textTable } from './table.ts';
import type { SceneResult } from './score-worker.ts';

const script = fileURLToPath(new URL('../opencv_trackers.py', import.meta.url));

const outcomeSchema = z.object({
  name: z.string(),
  tracker: z.string(),
  /** Millimetres, one constant offset removed, scale from truth; null where the tracker gave up at once. */
  rms_mm: z.number().nullable(),
  p95_mm: z.number().nullable(),
  worst_mm: z.number().nullable(),
  /** Share of frames for which the tracker gave a place. */
  followed: z.number(),
});
type Outcome = z.infer<typeof outcomeSchema>;

/** The first Python in PATH that has OpenCV; a system's own may, where another stands before it. */
export function pythonWithOpencv(): string | undefined {
  return (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, 'python3'))
    .find((python) => spawnSync(python, ['-c', 'import cv2']).status === 0);
}

/** Runs general-purpose trackers over the same clips, each told the disc's true box in the first frame, and prints them beside ours. */
export function opencvTable(results: readonly SceneResult[]): string {
  const python = pythonWithOpencv();
  if (!python) {
    return 'No comparison with OpenCV: no python3 in PATH has it. On Debian install the package python3-opencv.';
  }
  const input = JSON.stringify(results.map(({ name, clip }) => ({ name, clip })));
  const run = spawnSync(python, [script], { encoding: 'utf8', input, maxBuffer: 1 << 26 });
  if (run.status !== 0) return `The comparison with OpenCV failed: ${run.stderr.trim().split('\n').at(-1)}`;
  const outcomes = z.array(outcomeSchema).parse(JSON.parse(run.stdout));
  const trackers = [...new Set(outcomes.map((o) => o.tracker))];
  // A wrongly followed clip is far off, and counts so here as it does for the trackers.
  const measured = results.filter((r) => r.score !== null);
  const ours = measured.map(({ name, score }): Outcome => ({
    name,
    tracker: '',
    rms_mm: score?.rmsMm ?? null,
    p95_mm: score?.p95Mm ?? null,
    worst_mm: score?.worstMm ?? null,
    followed: score ? 1 - score.lost / score.frames : 0,
  }));
  const row = (title: string, of: readonly Outcome[]): string[] => {
    const rms = of.flatMap((o) => (o.rms_mm === null ? [] : [o.rms_mm]));
    const p95 = of.flatMap((o) => (o.p95_mm === null ? [] : [o.p95_mm]));
    const worst = of.flatMap((o) => (o.worst_mm === null ? [] : [o.worst_mm]));
    return [
      title,
      `${of.filter((o) => o.rms_mm !== null && o.followed > 0.9).length}/${results.length}`,
      figure(median(rms) ?? NaN, 2),
      figure(quantile(rms, 0.95) ?? NaN, 2),
      figure(median(p95) ?? NaN, 1),
      figure(max(worst) ?? NaN, 0),
    ];
  };
  return textTable(
    ['', 'followed > 90 %', 'path RMS mm med', 'p95', 'path p95 mm', 'worst mm'],
    [
      row('Lockstep, without a seed', ours),
      ...trackers.map((t) =>
        row(
          `OpenCV ${t}`,
          outcomes.filter((o) => o.tracker === t),
        ),
      ),
    ],
  );
}
