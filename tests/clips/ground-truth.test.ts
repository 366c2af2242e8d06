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
const timeoutMs = 120_000;

/** What no clip may miss: the right disc, every rep, nothing wrong and confident. */
function expectSound(s: ClipScore): void {
  expect(s.wrong).toBe(false);
  expect([s.repsMissed, s.repsExtra]).toEqual([0, 0]);
  expect(s.seenWrong / s.seen).toBeLessThanOrEqual(0.002);
}

describe('clips filmed from the side are measured as they were rendered, without a seed', () => {
  it.each(['bench', 'squat', 'deadlift', 'bench-racked', 'squat-stops-short', 'squat-portrait'])(
    '%s',
    async (name) => {
      const s = await score(name);
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(2);
      expect(s.fromStartMm).toBeLessThan(3);
      expect(s.worstMm).toBeLessThan(6);
      expect(Math.abs(s.scalePct)).toBeLessThan(1);
      expect(worst(s.meanDrivePct)).toBeLessThan(1.5);
      expect(worst(s.startMs)).toBeLessThan(30);
      if (!name.startsWith('deadlift')) expect(worst(s.bottomMs)).toBeLessThan(30);
      expect(worst(s.lockoutMs)).toBeLessThan(30);
      expect(worst(s.slowestMps)).toBeLessThan(0.01);
      expect(s.seen / s.frames).toBeGreaterThan(0.98);
    },
    timeoutMs,
  );
});

describe('harder clips', () => {
  it(
    'a hand-held camera costs little, and the clip check shows its shake',
    async () => {
      const s = await score('bench-by-hand');
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(2);
      expect(s.fromStartMm).toBeLessThan(3);
      expect(worst(s.meanDrivePct)).toBeLessThan(2);
      expect(s.shakePx.shown / s.shakePx.real).toBeGreaterThan(0.8);
      expect(s.shakePx.shown / s.shakePx.real).toBeLessThan(1.25);
    },
    timeoutMs,
  );

  it(
    'a camera 12 degrees off square is rectified, and the clip check shows the angle',
    async () => {
      const s = await score('bench-off-square');
      expectSound(s);
      expect(s.fromStartMm).toBeLessThan(4);
      expect(Math.abs(s.scalePct)).toBeLessThan(1);
      expect(worst(s.meanDrivePct)).toBeLessThan(2);
      expect(Math.abs(s.offSquareDeg)).toBeLessThan(3);
    },
    timeoutMs,
  );

  it(
    'slow motion tagged by the phone is played back at life’s own speed',
    async () => {
      const s = await score('bench-slow-motion');
      expectSound(s);
      expect(worst(s.meanDrivePct)).toBeLessThan(2);
      expect(worst(s.lockoutMs)).toBeLessThan(30);
    },
    timeoutMs,
  );

  it(
    'rows read one after the other make a moving bar late or early by their place, no more',
    async () => {
      const s = await score('squat-read-out');
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(3);
      // A bar that moves at 1 m/s over a third of the picture is seen up to 8 ms off its frame's time.
      expect(worst(s.meanDrivePct)).toBeLessThan(2.5);
      expect(worst([...s.startMs, ...s.bottomMs, ...s.driveStartMs, ...s.lockoutMs])).toBeLessThan(30);
    },
    timeoutMs,
  );

  it(
    'a wide lens that bends costs no scale',
    async () => {
      const s = await score('bench-bent-lens');
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(2);
      expect(Math.abs(s.scalePct)).toBeLessThan(1);
      expect(worst(s.meanDrivePct)).toBeLessThan(1.5);
    },
    timeoutMs,
  );

  it(
    'a camera that sweeps and zooms slowly is taken out',
    async () => {
      const s = await score('deadlift-swept');
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(5);
      expect(worst(s.meanDrivePct)).toBeLessThan(2);
      expect(s.shakePx.shown / s.shakePx.real).toBeGreaterThan(0.8);
      expect(s.shakePx.shown / s.shakePx.real).toBeLessThan(1.25);
    },
    timeoutMs,
  );

  it(
    'flickering lamps and a changing exposure move nothing',
    async () => {
      const s = await score('bench-flicker');
      expectSound(s);
      expect(s.rmsMm).toBeLessThan(2);
      expect(worst(s.meanDrivePct)).toBeLessThan(1.5);
      expect(s.seen / s.frames).toBeGreaterThan(0.98);
    },
    timeoutMs,
  );
});
