import { originOf } from '../../../shared-lib/rep/origin.ts';
import { describe, expect, it } from 'vitest';
import { bench, benchDrive, readAll, readOne, standing } from './lifts.ts';
import { legTimeAtSpeed } from './script.ts';

const share = (u: number): number => u * u * u * (10 - 15 * u + 6 * u * u);
/** The share of a leg's time at which it has covered a share of its way. */
const timeOfShare = (wanted: number): number => {
  let u = 0;
  while (share(u) < wanted) u += 1e-5;
  return u;
};

describe('the edges of the definitions', () => {
  it('put the bottom of a pause in the middle of what lies within 2 mm of the lowest', () => {
    const { events } = readOne(bench({ s: 1, y: -0.35 }, { s: 1 }, { s: 3, y: 0 }), 'bench');
    const margin = timeOfShare(0.002 / 0.35);
    expect(events.bottomS).toBeCloseTo((3.9 + 1 - margin + 5.9 + 3 * margin) / 2, 2);
  });

  it('count an attempt from 1 cm of prominence', () => {
    const rising = (m: number) =>
      readOne(
        bench(
          { s: 1.5, y: -0.35 },
          { s: 0.5 },
          { s: 0.4, y: -0.35 + m },
          { s: 0.4, y: -0.35 },
          { s: 0.4 },
          { s: 1.5, y: 0 },
        ),
        'bench',
      ).events.earlierAttempts;
    expect([rising(0.009), rising(0.011)]).toEqual([0, 1]);
  });

  it('end the bottom zone 3 cm above the lowest', () => {
    const first = (m: number) =>
      readOne(
        bench(
          { s: 1.2, y: -0.35 + m },
          { s: 0.4, y: -0.3 + m },
          { s: 0.4, y: -0.35 },
          { s: 0.4 },
          { s: 1.5, y: 0 },
        ),
        'bench',
      ).events.earlierAttempts;
    expect([first(0.028), first(0.032)]).toEqual([1, 0]);
  });

  it('report a pause from 0.2 s', () => {
    const still = (s: number) => {
      const edges = 2 * legTimeAtSpeed(0.35, 1.2, 0.03);
      return readOne(bench({ s: 1.2, y: -0.35 }, { s: s - edges }, { s: 1.2, y: 0 }), 'bench').values.pause_s;
    };
    expect(still(0.19)).toBeNull();
    expect(still(0.21)).toBeCloseTo(0.21, 2);
  });

  it('call a pull a rebound below 0.3 s after contact', () => {
    const edge = legTimeAtSpeed(0.55, 1.6, 0.03);
    const contact = 0.8 * timeOfShare(0.005 / 0.55);
    const after = (s: number) => {
      const pull = [{ s: 1.6, y: 0.55 }, { s: 1 }, { s: 0.8, y: 0 }];
      return readAll(standing(...pull, { s: s - contact - edge }, ...pull), 'deadlift').at(-1)!.events
        .rebound;
    };
    expect([after(0.29), after(0.32)]).toEqual([true, false]);
  });

  it('lock out within 2 cm, or 4 % of a long range, of the start height', () => {
    const outcome = (depth: number, short: number, lift: 'bench' | 'squat') =>
      readAll(
        standing(
          { s: 1.5, y: -depth },
          { s: 0.5 },
          { s: 1.5, y: -short },
          { s: 1.2 },
          { s: 1.5, y: -depth },
          { s: 1 },
        ),
        lift,
      )[0].events.outcome.kind;
    expect([outcome(0.35, 0.016, 'bench'), outcome(0.35, 0.024, 'bench')]).toEqual([
      'completed',
      'not completed',
    ]);
    expect([outcome(0.75, 0.026, 'squat'), outcome(0.75, 0.034, 'squat')]).toEqual([
      'completed',
      'not completed',
    ]);
  });

  it('need a prominence of 0.02 m/s for a sticking point', () => {
    const drop = (v: number) => {
      const motion = benchDrive([
        [0, 0],
        [0.3, 0.3],
        [0.9, 0.3 - v],
        [1.3, 0.3],
        [1.8, 0],
      ]);
      return readOne(motion, 'bench').values.sticking_drop_mps;
    };
    expect(drop(0.018)).toBeNull();
    expect(drop(0.022)).toBeCloseTo(0.022, 3);
  });

  it('need 0.2 s from the first maximum to the minimum', () => {
    const after = (s: number) =>
      readOne(
        benchDrive([
          [0, 0],
          [0.4, 0.4],
          [0.4 + s, 0.2],
          [1, 0.45],
          [1.8, 0],
        ]),
        'bench',
      ).values.sticking_s;
    expect(after(0.18)).toBeNull();
    expect(after(0.23)).toBeCloseTo(0.23, 2);
  });

  it('take a steady ripple at 4 and at 5 Hz for whip', () => {
    for (const hz of [4, 4.5, 5]) {
      const whip = (t: number) => 0.08 * Math.sin(2 * Math.PI * hz * t) * Math.exp(-t);
      const motion = benchDrive(
        [
          [0, 0],
          [0.6, 0.4],
          [1.8, 0],
        ],
        whip,
      );
      expect(readOne(motion, 'bench').values.sticking_mps, `${hz} Hz`).toBeNull();
    }
  });

  it('take the first angle over 10 cm of a path that bends', () => {
    const { values } = readOne(
      bench({ s: 1.5, x: 0.06, y: -0.35 }, { s: 1 }, { s: 0.8, x: 0, y: -0.27 }, { s: 1, y: 0 }),
      'bench',
    );
    // The drive starts at the still speed, so the chord begins that much up the diagonal and ends past its corner.
    const begun = share(legTimeAtSpeed(0.08, 0.8, 0.03) / 0.8);
    const across = 0.06 * (1 - begun);
    expect(values.first_angle_rad).toBeCloseTo(Math.PI - Math.acos(across / 0.1), 2);
  });

  it('take drift on the bench at touch, not where the bar has slid to since', () => {
    const { values } = readOne(
      bench(
        { s: 1.5, x: 0.06, y: -0.35 },
        { s: 0.4 },
        { s: 0.6, x: 0.09 },
        { s: 1.2 },
        { s: 1.5, x: 0, y: 0 },
      ),
      'bench',
    );
    expect(values.drift_bottom_m).toBeCloseTo(0.06, 3);
  });

  it('take the origin from the last 0.3 s and sway from the last second', () => {
    const { values } = readOne(
      standing({ s: 0.3, x: 0.03 }, { s: 0.3, x: 0.01 }, { s: 1.2 }, { s: 1.4, y: -0.6 }, { s: 1.4, y: 0 }),
      'squat',
    );
    expect(values.drift_bottom_m).toBeCloseTo(0, 6);
    expect(values.setup_sway_m).toBeCloseTo(0, 6);
    const late = readOne(
      standing(
        { s: 0.3, x: 0.03 },
        { s: 0.2 },
        { s: 0.3, x: 0.01 },
        { s: 0.5 },
        { s: 1.4, y: -0.6 },
        { s: 1.4, y: 0 },
      ),
      'squat',
    ).values;
    expect(late.drift_bottom_m).toBeCloseTo(0, 6);
    expect(late.setup_sway_m).toBeCloseTo(0.02, 3);
  });

  it('say how short a press stopped that falls and rises again, with its fall and stops', () => {
    const { events, values } = readOne(
      standing(
        { s: 1.5, y: -0.35 },
        { s: 1 },
        { s: 1.2, y: -0.1 },
        { s: 0.4 },
        { s: 0.2, y: -0.12 },
        { s: 1, y: -0.07 },
        { s: 1 },
        { s: 1, y: -0.35 },
        { s: 1 },
      ),
      'bench',
    );
    const low = 0.35 * share(legTimeAtSpeed(0.35, 1.5, 0.03) / 1.5);
    expect(events.outcome.kind === 'not completed' && events.outcome.shortM).toBeCloseTo(0.07 - low, 4);
    expect(values.fall_m).toBeCloseTo(0.02, 4);
    expect(values.stops).toBe(2);
    expect(values.sticking_mps).toBeNull();
  });
});

describe('where a rep starts from', () => {
  // A start that falls on a sample goes at the still speed exactly, which no rounding may take for a bar that never stood.
  it.each([-1e-12, 0, 1e-12])(
    'is where the bar stood, also where the start is a sample, %d s off',
    (offS) => {
      const n = 60;
      const vyMps = Float64Array.from({ length: n }, (_, i) => (i < 30 ? -0.01 : -0.03 * (i - 29)));
      const yM = new Float64Array(n);
      for (let i = 1; i < n; i++) yM[i] = yM[i - 1] + 0.01 * vyMps[i];
      const motion = { t0S: 0, dtS: 0.01, xM: new Float64Array(n), vxMps: new Float64Array(n), yM, vyMps };
      expect(originOf(motion, 0.3 + offS).yM).toBeCloseTo((yM[14] + yM[15]) / 2, 3);
    },
  );
});
