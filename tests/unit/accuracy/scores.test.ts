import { appendFile, mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { drawScene } from '../../../demo-data/draw-scene.ts';
import { momentsOf } from '../../../demo-data/render-clip.ts';
import { clipKey } from '../../../demo-data/suite/cached-clip.ts';
import { truthOf } from '../../../demo-data/truth/truth.ts';
import { stillCamera, type Trace } from '../../../shared-lib/contract/trace.ts';
import { followingColumns } from '../../bench/accuracy/columns.ts';
import { asJson, fromJson, worseThan } from '../../bench/accuracy/compare.ts';
import { keptResults } from '../../bench/accuracy/kept-results.ts';
import type { SceneResult } from '../../bench/accuracy/score-worker.ts';
import type { ClipScore } from '../../bench/score-clip.ts';
import { scoreTrace } from '../../bench/score-path.ts';
import { deltaOf, planted, trueMeasures } from '../../bench/pairs/plant.ts';

const spec = drawScene(7, { lift: 'bench', film: { widthPx: 960, heightPx: 540 } });
const truth = truthOf(spec, 'clip', momentsOf(spec));

/** The true trace, moved by an error in each frame, with one sigma of 0.1 px stated. */
function traceOff(error: (i: number) => { x: number; y: number }, grown = 1): Trace {
  const samples = truth.frames.map((f, i) => ({
    frame: i,
    ptsS: f.pts_s,
    xPx: f.px + error(i).x,
    yPx: f.py + error(i).y,
    varXPx2: 0.01,
    varYPx2: 0.01,
    covXYPx2: 0,
    rimRadiusPx: f.rim.a_px * grown,
    confidence: 1,
    state: 'seen' as const,
    camera: stillCamera,
  }));
  const { a_px, b_px, x_px, y_px, theta_rad } = truth.frames[0].rim;
  const rim = { xPx: x_px, yPx: y_px, aPx: a_px * grown, bPx: b_px * grown, thetaRad: theta_rad };
  return { samples, rim, rimSigma: { aPx: 0.1, bPx: 0.1 } };
}

describe('a trace’s score', () => {
  it('takes a constant offset for no error, and errors of the stated size for what they are', () => {
    const sign = (i: number): number => (i % 2 === 0 ? 1 : -1);
    const s = scoreTrace(
      traceOff((i) => ({ x: 0.4 + 0.1 * sign(i), y: 0.1 * sign(i) })),
      truth,
    );
    expect(s.wrong).toBe(false);
    expect(s.normalised).toBeCloseTo(1, 1);
    expect(s.seenWrong).toBe(0);
    expect([s.seen, s.bridged, s.lost]).toEqual([truth.frames.length, 0, 0]);
  });

  it('counts seen samples that lie more than a centimetre off', () => {
    const farPx = 0.012 / truth.disc.metres_per_px;
    const s = scoreTrace(
      traceOff((i) => ({ x: i < 3 ? farPx : 0, y: 0 })),
      truth,
    );
    expect(s.seenWrong).toBe(3);
  });

  it('knows another disc by its place and another ring by its size', () => {
    const diameterPx = truth.disc.diameter_m / truth.disc.metres_per_px;
    const none = (): { x: number; y: number } => ({ x: 0, y: 0 });
    expect(
      scoreTrace(
        traceOff(() => ({ x: 0.24 * diameterPx, y: 0 })),
        truth,
      ).wrong,
    ).toBe(false);
    expect(
      scoreTrace(
        traceOff(() => ({ x: 0.26 * diameterPx, y: 0 })),
        truth,
      ).wrong,
    ).toBe(true);
    expect(scoreTrace(traceOff(none, 1.07), truth).wrong).toBe(false);
    expect(scoreTrace(traceOff(none, 0.91), truth).wrong).toBe(true);
  });
});

const result = (name: string, over: Partial<ClipScore> | null): SceneResult => ({
  name,
  clip: name,
  conditions: [],
  groups: ['all'],
  score: over && ({ ...blank, ...over } as ClipScore),
  error: over ? null : 'no bar',
});
const blank: Partial<ClipScore> = {
  wrong: false,
  frames: 100,
  seen: 100,
  bridged: 0,
  lost: 0,
  seenWrong: 0,
  normalised: 1,
  repsMissed: 0,
  repsExtra: 0,
  rmsMm: 1,
  p95Mm: 2,
  worstMm: 3,
  fromStartMm: 1,
  scalePct: 0.2,
  frameMs: 33,
  meanDrivePct: [],
  meanDriveScaledPct: [],
  peakDrivePct: [],
  peakDriveScaledPct: [],
  startMs: [],
  bottomMs: [],
  driveStartMs: [],
  lockoutMs: [],
  slowestMps: [],
  stickingMps: [],
  stickingWrong: 0,
  bound: {
    meanDrivePct: [],
    peakDrivePct: [],
    startMs: [],
    bottomMs: [],
    driveStartMs: [],
    lockoutMs: [],
    slowestMps: [],
  },
  offSquareDeg: 0,
  rollDeg: 0,
  plumb: 'none',
  shakePx: { shown: 0, real: 0 },
  blurPx: { shown: null, real: 1 },
  verdicts: { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good' },
};

describe('a run beside an earlier one', () => {
  it('names what became worse and nothing else, through its file', () => {
    const before = fromJson(asJson([result('a', { fromStartMm: NaN }), result('b', {}), result('c', {})]));
    expect(before[0].score?.fromStartMm).toBeNaN();
    expect(worseThan(before, before)).toEqual([]);
    const lines = worseThan(before, [
      result('a', { rmsMm: 2 }),
      result('b', { rmsMm: 0.5 }),
      result('c', null),
    ]);
    expect(lines).toContain('a: path RMS mm 1.00 -> 2.00');
    expect(lines).toContain('c: no bar (it was measured before)');
    expect(lines.filter((l) => l.startsWith('b'))).toEqual([]);
    expect(lines.some((l) => l.startsWith('all shared clips: found % 100 -> 67'))).toBe(true);
  });

  it('leaves wrongly followed clips out of the errors and counts them', () => {
    const results = [result('a', {}), result('b', { wrong: true, rmsMm: 500 })];
    const column = (title: string) => followingColumns.find((c) => c.title === title)?.of(results);
    expect(column('path RMS mm')).toEqual([1, 1]);
    expect(column('wrong %')).toEqual([50]);
    expect(column('found %')).toEqual([50]);
  });
});

describe('results kept as they finish', () => {
  it('come back for the same film alone, and what a killed run left unfinished counts for nothing', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'kept-results-'));
    const file = join(folder, 'scores.jsonl');
    const scene = { name: 'a', spec, conditions: [] };
    const clip = `/films/${clipKey('a', spec)}.mp4`;
    try {
      const first = await keptResults(file);
      expect(first.of(scene)).toBeUndefined();
      await first.add({ ...result('a', { stickingMps: [NaN] }), clip });
      await appendFile(file, '{"name":"b","cl');
      const again = await keptResults(file);
      expect(again.of(scene)?.score?.stickingMps).toEqual([NaN]);
      expect(again.of({ ...scene, spec: { ...spec, seed: spec.seed + 1 } })).toBeUndefined();
      await again.add({ ...result('b', null), clip: '/films/b-0.mp4' });
      expect((await readFile(file, 'utf8')).trim().split('\n')).toHaveLength(2);
    } finally {
      await rm(folder, { recursive: true });
    }
  });
});

describe('planting', () => {
  it.each(['drift_bottom_m', 'descent_s', 'bow_m', 'slowest_mps'] as const)(
    'moves %s by one and a half times what is worth acting on',
    (name) => {
      const [rep] = spec.plan.reps;
      const with1 = (r: typeof rep): typeof spec => ({ ...spec, plan: { ...spec.plan, reps: [r] } });
      const other = planted('bench', rep, name, false, with1);
      const moved = (trueMeasures(with1(other))[name] ?? NaN) - (trueMeasures(with1(rep))[name] ?? NaN);
      expect(Math.abs(moved) / deltaOf(name, false)).toBeCloseTo(1.5, 1);
    },
  );
});
