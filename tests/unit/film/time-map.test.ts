import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Failure } from '../../../shared-lib/contract/errors.ts';
import { buildTimeMap, mapTime, segmentAt, type FilmClock } from '../../../shared-lib/pair/time-map.ts';

const squat = [
  { event: 'start', referenceS: 2.0, todayS: 1.0 },
  { event: 'bottom', referenceS: 3.5, todayS: 3.0 },
  { event: 'lockout', referenceS: 4.5, todayS: 5.5 },
];

/** Knots of two reps: steps of 0 to 4 s on each side, in order. */
const knots = fc
  .record({
    referenceS: fc.double({ min: 0, max: 20, noNaN: true }),
    todayS: fc.double({ min: 0, max: 20, noNaN: true }),
    steps: fc.array(
      fc.tuple(fc.constantFrom(0, 0.01, 0.4, 1.3, 4), fc.constantFrom(0, 0.02, 0.5, 1.1, 3.7)),
      { maxLength: 6 },
    ),
  })
  .map(({ referenceS, todayS, steps }) => {
    const list = [{ event: 'start', referenceS, todayS }];
    for (const [r, t] of steps) {
      const before = list.at(-1)!;
      list.push({ event: 'next', referenceS: before.referenceS + r, todayS: before.todayS + t });
    }
    return list;
  });
const clocks = fc.constantFrom<FilmClock>('phase', 'mean', 'reference');

describe('the time map of a pair', () => {
  it('gives each segment the length of the longer rep on the phase clock', () => {
    const map = buildTimeMap(squat, { clock: 'phase', leadS: 1 });
    expect(map.outS).toEqual([1, 3, 5.5]);
  });

  it('gives each segment the mean or the reference length on the other clocks', () => {
    expect(buildTimeMap(squat, { clock: 'mean', leadS: 0 }).outS).toEqual([0, 1.75, 3.5]);
    expect(buildTimeMap(squat, { clock: 'reference', leadS: 0.5 }).outS).toEqual([0.5, 2, 3]);
  });

  it('runs linearly between knots and as in life outside them', () => {
    const map = buildTimeMap(squat, { clock: 'phase', leadS: 1 });
    expect(mapTime(map.outS, map.referenceS, 2)).toBeCloseTo(2.75, 12);
    expect(mapTime(map.outS, map.todayS, 2)).toBeCloseTo(2, 12);
    expect(mapTime(map.outS, map.referenceS, 0)).toBeCloseTo(1, 12);
    expect(mapTime(map.outS, map.todayS, 6)).toBeCloseTo(6, 12);
  });

  it('holds a rep that has no such phase and keeps the other running', () => {
    const map = buildTimeMap(
      [
        { event: 'touch', referenceS: 1, todayS: 1 },
        { event: 'drive start', referenceS: 2, todayS: 1 },
      ],
      { clock: 'phase', leadS: 0 },
    );
    expect(mapTime(map.outS, map.todayS, 0.5)).toBe(1);
    expect(mapTime(map.outS, map.referenceS, 0.5)).toBe(1.5);
    expect(mapTime(map.todayS, map.outS, 1)).toBe(0);
    expect(mapTime(map.todayS, map.outS, 1.25)).toBe(1.25);
  });

  it('works with a single knot', () => {
    const map = buildTimeMap(squat.slice(0, 1), { clock: 'phase', leadS: 0.5 });
    expect(mapTime(map.outS, map.todayS, 2)).toBe(2.5);
  });

  it('refuses no knots and events out of order', () => {
    expect(() => buildTimeMap([], { clock: 'phase', leadS: 0 })).toThrow(Failure);
    expect(() => buildTimeMap([...squat].reverse(), { clock: 'phase', leadS: 0 })).toThrow(/"bottom"/);
    expect(() =>
      buildTimeMap([squat[0], { event: 'x', referenceS: NaN, todayS: 9 }], { clock: 'phase', leadS: 0 }),
    ).toThrow(Failure);
  });

  it('says which segment holds a time', () => {
    expect([0, 1, 2.9, 3, 9].map((t) => segmentAt([1, 3], t))).toEqual([-1, 0, 0, 1, 1]);
  });

  it('is monotone, meets every knot it keeps, and its inverse brings every time back', () => {
    fc.assert(
      fc.property(knots, clocks, fc.double({ min: -2, max: 40, noNaN: true }), (list, clock, t) => {
        const map = buildTimeMap(list, { clock, leadS: 1 });
        for (let i = 1; i < map.outS.length; i += 1) expect(map.outS[i]).toBeGreaterThan(map.outS[i - 1]);
        for (const side of [map.referenceS, map.todayS]) {
          map.outS.forEach((out, i) => expect(mapTime(map.outS, side, out)).toBeCloseTo(side[i], 9));
          expect(mapTime(map.outS, side, t + 0.01)).toBeGreaterThanOrEqual(mapTime(map.outS, side, t));
          const there = mapTime(side, map.outS, t);
          // A clock that skips a phase cannot show times inside it; all others come back exactly.
          if (clock !== 'reference') expect(mapTime(map.outS, side, there)).toBeCloseTo(t, 6);
        }
      }),
    );
  });

  it('never runs either rep faster than life on the phase clock', () => {
    fc.assert(
      fc.property(knots, fc.double({ min: -2, max: 40, noNaN: true }), (list, t) => {
        const map = buildTimeMap(list, { clock: 'phase', leadS: 1 });
        for (const side of [map.referenceS, map.todayS]) {
          const run = mapTime(map.outS, side, t + 0.05) - mapTime(map.outS, side, t);
          expect(run).toBeLessThanOrEqual(0.05 + 1e-9);
        }
      }),
    );
  });
});
