import { describe, expect, it } from 'vitest';
import {
  chooseConditions,
  drawSuiteScene,
  framed,
  suiteSets,
  type SuiteSet,
} from '../../../demo-data/random-suite.ts';
import { conditions } from '../../../demo-data/suite/conditions.ts';
import { ordinaryScene } from '../../../demo-data/suite/ordinary.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { pickWeighted, streamOf } from '../../../demo-data/suite/streams.ts';
import { momentsOf } from '../../../demo-data/render-clip.ts';
import { truthOf } from '../../../demo-data/truth/truth.ts';

const some = Array.from({ length: 12 }, (_, i) => drawSuiteScene('tuning', i));

describe('the random suite', () => {
  it('gives the same scene for the same index, and another for each index and set', () => {
    expect(drawSuiteScene('tuning', 3)).toEqual(some[3]);
    const seeds = suiteSets.flatMap((set) => [0, 1, 99_999].map((i) => drawSuiteScene(set, i).seed));
    expect(new Set(seeds).size).toBe(seeds.length);
  });

  it('keeps the disc whole in the picture in nearly all scenes', () => {
    const whole = some.map(({ spec }) => {
      const { frames } = truthOf(
        spec,
        '',
        momentsOf(spec).filter((_, i) => i % 10 === 0),
      );
      const { widthPx, heightPx } = spec.film;
      return frames.every(
        ({ rim: { x_px: x, y_px: y, a_px: a } }) => x > a && y > a && x < widthPx - a && y < heightPx - a,
      );
    });
    expect(whole.filter(Boolean).length).toBeGreaterThanOrEqual(some.length - 1);
  });

  it('gives a scene at most three conditions, of different groups, in the list’s order', () => {
    const all = Array.from({ length: 200 }, (_, i) =>
      chooseConditions(7_000_000 + i, ordinaryScene(7_000_000 + i)).map((c) => c.name),
    );
    const groupOf = new Map(conditions.map((c) => [c.name, c.group]));
    for (const names of all) {
      expect(names.length).toBeLessThanOrEqual(3);
      expect(new Set(names.map((name) => groupOf.get(name))).size).toBe(names.length);
    }
    // About three scenes in ten have none: within four standard deviations.
    const none = all.filter((names) => names.length === 0).length / all.length;
    expect(Math.abs(none - 0.3)).toBeLessThan(4 * Math.sqrt((0.3 * 0.7) / all.length));
  });

  it('draws angles off square as often as it says', () => {
    const n = 600;
    const offDeg = Array.from({ length: n }, (_, i) =>
      Math.abs((ordinaryScene(7_000_000 + i).camera.offSquareRad * 180) / Math.PI),
    );
    const share = (lo: number, hi: number): number => offDeg.filter((d) => d > lo && d <= hi).length / n;
    const four = (p: number): number => 4 * Math.sqrt((p * (1 - p)) / n);
    expect(Math.abs(share(0, 8) - 1 / 2)).toBeLessThan(four(1 / 2));
    expect(Math.abs(share(8, 25) - 1 / 3)).toBeLessThan(four(1 / 3));
    expect(Math.abs(share(25, 40) - 1 / 6)).toBeLessThan(four(1 / 6));
  });
});

describe('conditions of the random suite', () => {
  const withCondition = (name: string): SceneSpec => {
    const condition = conditions.find((c) => c.name === name)!;
    const fitting = Array.from({ length: 60 }, (_, i) => 8_000_000 + i).filter(
      (seed) => condition.fits?.(ordinaryScene(seed)) ?? true,
    );
    const seed = fitting[0];
    const scene = condition.apply(streamOf(seed, `condition ${name}`), {
      ...ordinaryScene(seed),
      film: { ...ordinaryScene(seed).film, fps: 30, slowMotion: 1 },
    });
    return framed(seed, scene);
  };

  it('each find a scene that they fit, and change it', () => {
    for (const { name, fits, apply } of conditions) {
      const seed = Array.from({ length: 200 }, (_, i) => 8_000_000 + i).find(
        (s) => fits?.(ordinaryScene(s)) ?? true,
      );
      expect(seed, name).toBeDefined();
      const scene = ordinaryScene(seed!);
      const changed = apply(streamOf(seed!, name), scene);
      const isSame = JSON.stringify(changed) === JSON.stringify(scene) && !changed.extras;
      expect(isSame, name).toBe(false);
    }
  });

  it('hide the whole rim for some tenths of a second behind a mat', () => {
    const spec = withCondition('hidden for a while');
    const covered = truthOf(spec, '', momentsOf(spec)).frames.map((frame) => frame.covered);
    const hiddenS = covered.filter((share) => share > 0.99).length / spec.film.fps;
    expect(hiddenS).toBeGreaterThan(0.3);
    expect(hiddenS).toBeLessThanOrEqual(0.7);
    expect(covered.filter((share) => share === 0).length).toBeGreaterThan(covered.length / 2);
  });

  it('put discs before the ruler and keep the largest as the ruler', () => {
    const { discs } = withCondition('smaller disc in front');
    const largest = Math.max(...discs.map((disc) => disc.diameterM));
    expect(discs.at(-1)!.diameterM).toBeLessThan(0.9 * largest);
  });

  it('draw the other style with walls, discs and clothes that tuning never sees', () => {
    const looksOf = (set: SuiteSet): Set<string> =>
      new Set(
        Array.from({ length: 30 }, (_, i) => drawSuiteScene(set, i).spec).flatMap(
          ({ gym, discs, lifter }) => [gym.wall, discs[0].design, lifter.shirt],
        ),
      );
    const [tuning, other] = [looksOf('tuning'), looksOf('other style')];
    // Conditions that change discs or clothes do so in either style.
    const shared = [...other].filter((look) => tuning.has(look));
    expect(
      shared.filter(
        (look) => !['spoked', 'plain', 'calibrated', 'rubber', 'iron', 'club', '#17181a'].includes(look),
      ),
    ).toEqual([]);
    for (const wall of ['concrete', 'tiles', 'panels']) expect(other.has(wall)).toBe(true);
    for (const design of ['gripped', 'banded']) expect(other.has(design)).toBe(true);
  });
});

describe('streams', () => {
  it('differ by seed and by name from their first number on, evenly spread', () => {
    const firsts = Array.from({ length: 1000 }, (_, i) => streamOf(i, 'light').uniform(0, 1));
    const mean = firsts.reduce((a, b) => a + b, 0) / firsts.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 / Math.sqrt(12 * firsts.length));
    expect(streamOf(1, 'light').uniform(0, 1)).not.toBe(streamOf(1, 'lift').uniform(0, 1));
    // Neighbouring seeds have nothing to do with each other.
    const lag = firsts.slice(1).reduce((s, v, i) => s + (v - 0.5) * (firsts[i] - 0.5), 0) / firsts.length;
    expect(Math.abs(12 * lag)).toBeLessThan(4 / Math.sqrt(firsts.length));
  });

  it('pick by weight', () => {
    const random = streamOf(5, 'weights');
    const n = 2000;
    const picked = Array.from({ length: n }, () =>
      pickWeighted(random, [
        ['a', 3],
        ['b', 1],
      ]),
    );
    const share = picked.filter((p) => p === 'a').length / n;
    expect(Math.abs(share - 0.75)).toBeLessThan(4 * Math.sqrt((0.75 * 0.25) / n));
  });
});
