import { describe, expect, it } from 'vitest';
import { measureNames } from '../../../shared-lib/contract/measures.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';
import { stillnessCanBeTold } from '../../../shared-lib/rep/thresholds.ts';
import { bench, readAll, readOne, standing } from './lifts.ts';
import { legTimeAtSpeed, quiet } from './script.ts';

const still = 0.03;
/** Where a minimum-jerk leg of 1 m stands at a share of its time. */
const share = (u: number): number => u * u * u * (10 - 15 * u + 6 * u * u);

describe('descent and pause', () => {
  const { values } = readOne(bench({ s: 1.5, x: 0.06, y: -0.35 }, { s: 1 }, { s: 1.8, x: 0, y: 0 }), 'bench');
  const edge = legTimeAtSpeed(0.35, 1.5, still);

  it('last from event to event', () => {
    expect(values.descent_s).toBeCloseTo(1.5 - 2 * edge, 3);
    expect(values.pause_s).toBeCloseTo(1 + edge + legTimeAtSpeed(0.35, 1.8, still), 3);
    expect(values.depth_m).toBeCloseTo(0.35, 4);
  });

  it('have the velocities of a minimum-jerk movement', () => {
    // Peak 15/8 of the mean, half way (Flash & Hogan 1985).
    expect(values.peak_descent_mps).toBeCloseTo((1.875 * 0.35) / 1.5, 4);
    expect(values.peak_descent_height_m).toBeCloseTo(0.175, 3);
    expect(values.mean_descent_mps).toBeCloseTo((0.35 * (1 - 2 * share(edge / 1.5))) / (1.5 - 2 * edge), 3);
  });

  it('give the speed 5 cm above the bottom', () => {
    let u = 0.5;
    while (0.35 * (1 - share(u)) > 0.05) u += 1e-5;
    expect(values.speed_5cm_mps).toBeCloseTo((0.35 * 30 * u * u * (1 - u) ** 2) / 1.5, 3);
  });

  it('count hesitations, and none in a smooth descent', () => {
    expect(values.hesitations).toBe(0);
    const stopping = bench({ s: 1, y: -0.15 }, { s: 0.3 }, { s: 1, y: -0.35 }, { s: 0.6 }, { s: 1.5, y: 0 });
    expect(readOne(stopping, 'bench').values.hesitations).toBe(1);
  });

  it('tell a sink after touch from a heave before the drive', () => {
    const sinking = bench(
      { s: 1.5, y: -0.34 },
      { s: 0.5 },
      { s: 0.6, y: -0.36 },
      { s: 0.5 },
      { s: 1.5, y: 0 },
    );
    const sunk = readOne(sinking, 'bench').values;
    // Touch lies where the descent passes the still speed, 1.1 mm above its end.
    expect(sunk.sink_m).toBeCloseTo(0.02 + 0.34 * share(legTimeAtSpeed(0.34, 1.5, still) / 1.5), 4);
    expect(sunk.heave_m).toBeCloseTo(0, 6);
    const heaving = bench(
      { s: 1.5, y: -0.35 },
      { s: 0.5 },
      { s: 0.2, y: -0.342 },
      { s: 0.2, y: -0.35 },
      { s: 0.3 },
      { s: 1.5, y: 0 },
    );
    expect(readOne(heaving, 'bench').values.heave_m).toBeCloseTo(0.008, 4);
  });

  it('are null for a deadlift, sink and heave for a squat', () => {
    const pull = readOne(standing({ s: 1.6, y: 0.55 }, { s: 1 }, { s: 0.8, y: 0 }), 'deadlift').values;
    for (const name of [
      'descent_s',
      'depth_m',
      'pause_s',
      'peak_descent_mps',
      'drift_bottom_m',
      'settle_s',
    ] as const)
      expect(pull[name]).toBeNull();
    const squat = readOne(standing({ s: 1.8, y: -0.6 }, { s: 1 }, { s: 1.6, y: 0 }), 'squat').values;
    expect(squat.sink_m).toBeNull();
    expect(squat.bow_m).toBeNull();
    // A paused squat descends until it is still.
    expect(squat.descent_s).toBeCloseTo(1.8 - 2 * legTimeAtSpeed(0.6, 1.8, still), 3);
  });
});

describe('drive', () => {
  it('has range, duration and velocities of a minimum-jerk movement', () => {
    const { values } = readOne(bench({ s: 1.5, y: -0.35 }, { s: 0.8 }, { s: 1.8, y: 0 }), 'bench');
    const edge = legTimeAtSpeed(0.35, 1.8, still);
    expect(values.rom_m).toBeCloseTo(0.35, 4);
    expect(values.drive_s).toBeCloseTo(1.8 - 2 * edge, 3);
    expect(values.peak_drive_mps).toBeCloseTo((1.875 * 0.35) / 1.8, 4);
    expect(values.mean_drive_mps).toBeCloseTo((0.35 * (1 - 2 * share(edge / 1.8))) / (1.8 - 2 * edge), 3);
    expect([values.fall_m, values.stops, values.longest_stop_s]).toEqual([0, 0, 0]);
  });

  it('has its slowest point between a tenth and nine tenths of the range, always', () => {
    const smooth = readOne(bench({ s: 1.5, y: -0.35 }, { s: 0.8 }, { s: 1.8, y: 0 }), 'bench').values;
    // Symmetric: the tenth and the nine tenths are equally slow, whichever comes out.
    expect(Math.min(smooth.slowest_height_pct! - 10, 90 - smooth.slowest_height_pct!)).toBeCloseTo(0, 6);
    let u = 0;
    while (share(u) < 0.1) u += 1e-5;
    expect(smooth.slowest_mps).toBeCloseTo((0.35 * 30 * u * u * (1 - u) ** 2) / 1.8, 2);
  });

  it('shows a stop without a fall', () => {
    const { values } = readOne(
      bench({ s: 1.5, y: -0.35 }, { s: 0.8 }, { s: 0.8, y: -0.2 }, { s: 0.6 }, { s: 1, y: 0 }),
      'bench',
    );
    expect(values.fall_m).toBeCloseTo(0, 9);
    expect(values.stops).toBe(1);
    expect(values.longest_stop_s).toBeCloseTo(
      0.6 + legTimeAtSpeed(0.15, 0.8, still) + legTimeAtSpeed(0.2, 1, still),
      2,
    );
    expect(values.slowest_mps).toBeCloseTo(0, 9);
    expect(values.slowest_height_pct).toBeCloseTo((100 * 0.15) / 0.35, 0);
  });

  it('shows a fall in millimetres, and its slowest velocity below zero', () => {
    const { values } = readOne(
      bench(
        { s: 1.5, y: -0.35 },
        { s: 0.8 },
        { s: 0.8, y: -0.2 },
        { s: 0.5 },
        { s: 0.5, y: -0.225 },
        { s: 1, y: 0 },
      ),
      'bench',
    );
    expect(values.fall_m).toBeCloseTo(0.025, 4);
    expect(values.stops).toBe(2);
    expect(values.slowest_mps).toBeCloseTo((-1.875 * 0.025) / 0.5, 3);
  });

  it('shows hitching in a deadlift, and its settling after lockout as sag, not as a fall', () => {
    const { values } = readOne(
      standing(
        { s: 1.2, y: 0.4 },
        { s: 0.4 },
        { s: 0.2, y: 0.385 },
        { s: 0.6, y: 0.55 },
        { s: 0.8, y: 0.545 },
        { s: 0.8, y: 0 },
      ),
      'deadlift',
    );
    expect(values.fall_m).toBeCloseTo(0.015, 4);
    expect(values.stops).toBe(1);
    expect(values.sag_m).toBeCloseTo(0.005, 3);
    expect(values.rom_m).toBeCloseTo(0.55, 4);
  });
});

describe('drift, bow and direction', () => {
  it('are relative to where the bar stood before the start', () => {
    const { values } = readOne(
      bench(
        { s: 1.5, x: 0.08, y: -0.35 },
        { s: 1 },
        { s: 1.5, x: -0.03, y: 0 },
        { s: 0.6 },
        { s: 0.5, x: 0 },
      ),
      'bench',
    );
    expect(values.drift_bottom_m).toBeCloseTo(0.08, 3);
    expect(values.drift_lockout_m).toBeCloseTo(-0.03, 3);
    expect(values.drift_max_m).toBeCloseTo(0.08, 4);
    expect(values.drift_min_m).toBeCloseTo(-0.03, 3);
  });

  it('find the furthest of a bar that swings out both ways', () => {
    const { values } = readOne(
      standing({ s: 0.8, x: 0.04, y: 0.2 }, { s: 0.8, x: -0.02, y: 0.55 }, { s: 1 }, { s: 0.8, x: 0, y: 0 }),
      'deadlift',
    );
    expect(values.drift_max_m).toBeCloseTo(0.04, 3);
    expect(values.drift_min_m).toBeCloseTo(-0.02, 3);
    expect(values.drift_lockout_m).toBeCloseTo(-0.02, 3);
  });

  it('have no bow on a straight diagonal, toward the head where the bar goes back first', () => {
    const straight = readOne(
      bench({ s: 1.5, x: 0.08, y: -0.35 }, { s: 1 }, { s: 1.5, x: 0, y: 0 }),
      'bench',
    ).values;
    expect(straight.bow_m).toBeCloseTo(0, 4);
    // Back first, then up: from (.08, -.35) over (0, -.25) to (0, 0); the corner's distance from the line.
    const corner = bench({ s: 1.5, x: 0.08, y: -0.35 }, { s: 1 }, { s: 0.8, x: 0, y: -0.25 }, { s: 1, y: 0 });
    const distance = (0.08 * 0.25) / Math.hypot(0.08, 0.35);
    expect(readOne(corner, 'bench').values.bow_m).toBeCloseTo(-distance, 3);
    const upFirst = bench({ s: 1.5, x: 0.08, y: -0.35 }, { s: 1 }, { s: 0.8, y: -0.1 }, { s: 1, x: 0, y: 0 });
    expect(readOne(upFirst, 'bench').values.bow_m).toBeCloseTo((0.08 * 0.25) / Math.hypot(0.08, 0.35), 3);
  });

  it('tell the two first directions off the chest of experts and novices apart', () => {
    // 60.3 and 84.4 degrees to the horizontal, toward the head (McLaughlin 1984, Bench Press More Now, as
    // reprinted; secondary source). Here angles count from forward, so toward the head is beyond 90 degrees.
    for (const degrees of [60.3, 84.4]) {
      const slope = 1 / Math.tan((degrees * Math.PI) / 180);
      const motion = bench(
        { s: 1.5, x: 0.15 * slope, y: -0.35 },
        { s: 1 },
        { s: 1, x: 0, y: -0.2 },
        { s: 1, y: 0 },
      );
      const angle = readOne(motion, 'bench').values.first_angle_rad!;
      expect(180 - (angle * 180) / Math.PI).toBeCloseTo(degrees, 1);
    }
  });
});

describe('set-up and hold', () => {
  it('give the sway before the start and after lockout, and the sag', () => {
    const { values } = readOne(
      bench(
        { s: 0.4, x: 0.012 },
        { s: 0.4, x: 0 },
        { s: 1.5, y: -0.35 },
        { s: 1 },
        { s: 1.5, y: 0 },
        { s: 0.4, x: 0.02, y: -0.006 },
      ),
      'bench',
    );
    expect(values.setup_sway_m).toBeCloseTo(0.012, 4);
    expect(values.hold_sway_m).toBeCloseTo(0.02, 3);
    expect(values.sag_m).toBeCloseTo(0.006, 3);
  });

  it('count no sway that belongs to the end of the rep before', () => {
    // The first drive ends 5 cm forward of where it began, and the second rep starts 0.6 s after it.
    const press = (x: number) => [{ s: 1.2, y: -0.35 }, { s: 0.4 }, { s: 1.2, y: 0, x }, { s: 0.6 }];
    const [, second] = readAll(bench(...press(0.05), ...press(0.05)), 'bench');
    expect(second.values.setup_sway_m).toBeLessThan(0.0005);
  });

  it('do not take lowering the bar for sag', () => {
    const { values } = readOne(standing({ s: 1.6, y: 0.55 }, { s: 0.3 }, { s: 0.8, y: 0 }), 'deadlift');
    expect(values.sag_m).toBeLessThan(0.002);
  });

  it('time the settling from when the bar comes to its place until it rests there', () => {
    // The unrack's legs: over the hooks until 1.8 s, down 6 cm to the origin until 2.4 s, then still.
    const { values } = readOne(bench({ s: 1.5, y: -0.35 }, { s: 1 }, { s: 1.5, y: 0 }), 'bench');
    let came = 0;
    while (0.06 * (1 - share(came)) > 0.05) came += 1e-5;
    expect(values.settle_s).toBeCloseTo(0.6 - legTimeAtSpeed(0.06, 0.6, still) - 0.6 * came, 1);
    expect(readOne(standing({ s: 1.8, y: -0.6 }, { s: 1.6, y: 0 }), 'squat').values.settle_s).toBeNull();
    const press = [{ s: 1.2, y: -0.35 }, { s: 0.4 }, { s: 1.2, y: 0 }, { s: 1 }];
    const [, second] = readAll(bench(...press, ...press), 'bench');
    expect(second.values.settle_s).toBeNull();
  });
});

it('every measure is a finite number or null, for every lift', () => {
  const motion = bench({ s: 1.5, x: 0.06, y: -0.35 }, { s: 1 }, { s: 1.5, x: 0, y: 0 });
  const { events } = readOne(motion, 'bench');
  const values = measureRep(motion, events, 'bench', quiet);
  expect(Object.keys(values).sort()).toEqual([...measureNames].sort());
  for (const name of measureNames) expect(values[name] === null || Number.isFinite(values[name])).toBe(true);
});

it('stillness cannot be told where three sigmas of the velocity exceed the still speed', () => {
  expect(stillnessCanBeTold({ syM: 0.001, svMps: 0.0099 })).toBe(true);
  expect(stillnessCanBeTold({ syM: 0.001, svMps: 0.0101 })).toBe(false);
});
