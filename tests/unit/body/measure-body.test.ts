import { mean, median } from 'd3-array';
import { beforeAll, describe, expect, it } from 'vitest';
import { midline } from '../../../shared-lib/body/joints.ts';
import type { BodyMeasureName } from '../../../shared-lib/contract/body.ts';
import { bodyTrials, type BodyTrial } from './rendered-bodies.ts';

const deg = 180 / Math.PI;
/** What a careful hand under the magnifier is off by in each direction, one sigma, millimetres on the body. */
const markMm = 5;
const offSquareDeg = [0, 10, 20, 30] as const;
const scenes = 25;

const of = (list: readonly BodyTrial[], name: BodyMeasureName) =>
  list.filter(({ measure }) => measure.name === name);
const errorsDeg = (list: readonly BodyTrial[]) =>
  list.map(({ measure, exact }) => Math.abs(measure.value - exact) * deg);
const coverage = (list: readonly BodyTrial[]) =>
  mean(list, ({ measure: m, exact }) => Number(exact >= m.lo95 && exact <= m.hi95))!;

describe('bodies marked by hand, each mark off by 5 mm', () => {
  let rendered: Map<number, BodyTrial[]>;
  let all: BodyTrial[];
  beforeAll(() => {
    rendered = new Map(offSquareDeg.map((offDeg) => [offDeg, bodyTrials({ scenes, offDeg, markMm })]));
    all = [...rendered.values()].flat();
  }, 120_000);

  describe.each(offSquareDeg)('%i degrees off square', (offDeg) => {
    it.each(['trunk_rad', 'hip_rad', 'knee_rad'] as const)('%s is within 2 degrees', (name) => {
      const errors = errorsDeg(of(rendered.get(offDeg)!, name));
      expect(median(errors)!).toBeLessThan(2);
      if (offDeg <= 10) expect(Math.sqrt(mean(errors, (e) => e * e)!)).toBeLessThan(2);
    });
  });

  it.each([
    ['as scenes have them', undefined],
    ['as the program expects them', { meanM: midline.depthM, sigmaM: midline.sigmaM }],
  ])('the bar is placed over lifters %s with intervals that hold the truth', (_, depths) => {
    const placed = offSquareDeg.flatMap((offDeg) =>
      bodyTrials({ scenes: 80, offDeg, markMm, only: 'start', ...(depths ? { depths } : {}) }),
    );
    const held = coverage(of(placed, 'place_m'));
    expect(held).toBeGreaterThanOrEqual(0.92);
    expect(held).toBeLessThanOrEqual(0.98);
  });

  it.each(['trunk_rad', 'hip_rad', 'knee_rad', 'elbow_rad', 'crease_m'] as const)(
    'intervals of %s hold the truth',
    (name) => expect(coverage(of(all, name))).toBeGreaterThanOrEqual(0.9),
  );

  it('says that it cannot judge place from far off square, and leaves it judged from square', () => {
    const judged = (offDeg: number) => of(rendered.get(offDeg)!, 'place_m').map((t) => t.measure.canJudge);
    expect(judged(0).every(Boolean)).toBe(true);
    expect(judged(30).some(Boolean)).toBe(false);
  });
});
