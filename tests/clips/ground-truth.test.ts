import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { suiteClip } from '../../demo-data/suite.ts';
import { scoreClip, type ClipScore } from '../bench/score-clip.ts';

let cache: string;
beforeAll(async () => {
  cache = await mkdtemp(path.join(tmpdir(), 'lockstep-truth-'));
});
afterAll(async () => {
  await rm(cache, { recursive: true, force: true });
});

async function score(name: string): Promise<ClipScore> {
  const { clip, truth } = await suiteClip(name, cache);
  return scoreClip(clip, truth);
}

const worst = (errors: readonly number[]): number => Math.max(...errors);

describe('clips filmed from the side are measured as they were rendered, without a seed', () => {
  it.each([
    'bench',
    'squat',
    'deadlift',
    'bench-racked',
    'squat-walked-out',
    'bench-facing-left',
    'squat-stops-short',
    'squat-portrait',
  ])(
    '%s',
    async (name) => {
      const s = await score(name);
      expect([s.repsMissed, s.repsExtra]).toEqual([0, 0]);
      expect(s.fromStartMm).toBeLessThan(3);
      expect(s.worstMm).toBeLessThan(8);
      expect(worst(s.meanDrivePct)).toBeLessThan(2);
      expect(worst(s.startMs)).toBeLessThan(30);
      if (!name.startsWith('deadlift')) expect(worst(s.bottomMs)).toBeLessThan(30);
      expect(worst(s.lockoutMs)).toBeLessThan(30);
      expect(s.seen / s.frames).toBeGreaterThan(0.98);
    },
    120_000,
  );
});

describe('harder clips', () => {
  it('a hand-held camera costs little', async () => {
    const s = await score('bench-by-hand');
    expect(s.fromStartMm).toBeLessThan(3);
    expect(worst(s.meanDrivePct)).toBeLessThan(2);
  }, 120_000);

  it('a camera 12 degrees off square is rectified by the rim', async () => {
    const s = await score('bench-off-square');
    expect(s.fromStartMm).toBeLessThan(4);
    expect(Math.abs(s.scalePct)).toBeLessThan(1);
    expect(worst(s.meanDrivePct)).toBeLessThan(2);
  }, 120_000);

  it('slow motion tagged by the phone is played back at life’s own speed', async () => {
    const s = await score('bench-slow-motion');
    expect(worst(s.meanDrivePct)).toBeLessThan(2);
    expect(worst(s.lockoutMs)).toBeLessThan(30);
  }, 120_000);
});
