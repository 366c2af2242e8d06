import { describe, expect, it } from 'vitest';
import { drawScene, type SceneOverrides } from '../../../demo-data/draw-scene.ts';
import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import { momentsOf } from '../../../demo-data/render-clip.ts';
import { suite } from '../../../demo-data/suite.ts';
import { eventsOf } from '../../../demo-data/truth/events.ts';
import { truthSchema, type Truth } from '../../../demo-data/truth/schema.ts';
import { truthOf } from '../../../demo-data/truth/truth.ts';

const still = { plan: { swayM: 0 } };
function truthFor(seed: number, overrides: SceneOverrides): Truth {
  const spec = drawScene(seed, { ...still, ...overrides });
  return truthOf(spec, 'clip.mp4', momentsOf(spec));
}

describe('the truth of a bench press', () => {
  const spec = drawScene(7, {
    ...still,
    lift: 'bench',
    reps: [
      {
        romM: 0.4,
        descentS: 1.5,
        pauseS: 0.9,
        driftBottomM: 0.08,
        driftLockoutM: 0.01,
        bowM: -0.02,
        drive: { firstPeakMps: 0.4, slowMps: 0.2, secondPeakMps: 0.45 },
      },
    ],
  });
  const motion = motionOf(spec);
  const [rep] = truthOf(spec, 'clip.mp4', momentsOf(spec)).reps;
  const m = rep.measures;

  it('puts its events where the speed is 0.03 m/s', () => {
    for (const tS of [rep.start_s, rep.touch_s, rep.drive_start_s, rep.lockout_s])
      expect(Math.abs(motion.at(tS ?? Number.NaN).vyMps)).toBeCloseTo(0.03, 6);
  });

  it('keeps the events in order and the phases adding up', () => {
    const times = [rep.start_s, rep.touch_s, rep.drive_start_s, rep.lockout_s].map(Number);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(Number(m.descent_s) + Number(m.pause_s) + Number(m.drive_s)).toBeCloseTo(times[3] - times[0], 3);
  });

  it('returns what was planned, less what passes below 0.03 m/s', () => {
    expect(m.slowest_mps).toBeCloseTo(0.2, 4);
    expect(m.sticking_mps).toBeCloseTo(0.2, 4);
    expect(m.sticking_drop_mps).toBeCloseTo(0.2, 4);
    expect(m.peak_drive_mps).toBeCloseTo(0.45, 4);
    expect(Math.abs(Number(m.rom_m) - 0.4)).toBeLessThan(0.002);
    expect(Math.abs(Number(m.drift_bottom_m) - 0.08)).toBeLessThan(0.001);
    expect(Math.abs(Number(m.drift_lockout_m) - 0.01)).toBeLessThan(0.001);
    expect(Math.abs(Number(m.bow_m) + 0.02)).toBeLessThan(0.0005);
    expect(Number(m.descent_s)).toBeGreaterThan(1.5 - 0.25);
    expect(Number(m.descent_s)).toBeLessThan(1.5);
    expect(Number(m.pause_s)).toBeGreaterThan(0.9);
    expect(m.fall_m).toBe(0);
  });
});

describe('the truth of other reps', () => {
  it('has no touch and no pause in a squat that turns at once', () => {
    const [rep] = truthFor(8, { lift: 'squat', reps: [{ pauseS: 0 }] }).reps;
    expect([rep.touch_s, rep.pause_start_s, rep.measures.pause_s]).toEqual([null, null, null]);
    expect(rep.bottom_s).toBeLessThan(rep.drive_start_s);
    expect(rep.drive_start_s - Number(rep.bottom_s)).toBeLessThan(0.05);
  });

  it('has no sticking point in a drive of one hill', () => {
    const [rep] = truthFor(8, {
      lift: 'bench',
      reps: [{ drive: { firstPeakMps: 0.5, slowMps: null, secondPeakMps: 0.5 } }],
    }).reps;
    expect(rep.measures.sticking_mps).toBeNull();
    expect(rep.measures.slowest_mps).toBeGreaterThan(0.1);
  });

  it('says by how much a rep stopped short, in each lift', () => {
    for (const lift of ['squat', 'bench', 'deadlift'] as const) {
      const { reps } = truthFor(9, { lift, reps: [{}, { stopShortM: 0.18 }] });
      expect(reps[0].outcome.kind).toBe('completed');
      expect(reps[1].lockout_s).toBeNull();
      const { outcome } = reps[1];
      expect(outcome.kind === 'not completed' ? outcome.shortM : 0).toBeCloseTo(0.18, 2);
    }
  });

  it('starts a deadlift at lift-off, once a rep', () => {
    const { reps } = truthFor(10, { lift: 'deadlift', reps: [{}, {}, {}] });
    expect(reps.map((r) => r.start_s === r.drive_start_s)).toEqual([true, true, true]);
    const spacing = [reps[1].start_s - reps[0].start_s, reps[2].start_s - reps[1].start_s];
    expect(spacing[0]).toBeCloseTo(spacing[1], 3);
    for (const rep of reps) expect(rep.measures.sag_m).toBeLessThan(0.001);
  });

  it('mirrors the picture and nothing else when the lifter faces left', () => {
    const right = truthFor(11, { lift: 'bench', facing: 'right', camera: { aimRightM: 0 } });
    const left = truthFor(11, { lift: 'bench', facing: 'left', camera: { aimRightM: 0 } });
    const width = right.film.width_px;
    right.frames.forEach((f, i) => {
      expect(left.frames[i].px).toBeCloseTo(width - 1 - f.px, 6);
      expect(left.frames[i].x_m).toBe(f.x_m);
      expect(left.frames[i].py).toBeCloseTo(f.py, 9);
    });
    expect(left.reps).toEqual(right.reps);
  });

  it('counts real time faster than file time in slow motion', () => {
    const { frames } = truthFor(12, { lift: 'bench', film: { slowMotion: 4, fps: 30 } });
    expect(frames[8].pts_s).toBeCloseTo(8 / 30, 12);
    expect(frames[8].t_s).toBeCloseTo(8 / 120, 12);
  });
});

describe('the truth of lifts that do not go smoothly', () => {
  const smooth = { firstPeakMps: 0.5, slowMps: null, secondPeakMps: 0.5 };

  it('counts a first attempt out of the bottom and starts the drive with the last', () => {
    const romM = 0.4;
    const [rep] = truthFor(21, {
      lift: 'bench',
      reps: [{ romM, drive: smooth, breaks: [{ atShare: 0.02 / romM, fallM: 0.02, stillS: 0.4 }] }],
    }).reps;
    const [once] = truthFor(21, { lift: 'bench', reps: [{ romM, drive: smooth }] }).reps;
    // The attempt rises and falls by 2 cm at up to 4 m/s2, twice 0.17 s, and rests for 0.4 s.
    expect(rep.drive_start_s - once.drive_start_s).toBeGreaterThan(0.65);
    expect(rep.drive_start_s - once.drive_start_s).toBeLessThan(0.85);
    expect(rep.touch_s).toBeCloseTo(Number(once.touch_s), 6);
    const spec = drawScene(21, {
      ...still,
      lift: 'bench',
      reps: [{ romM, drive: smooth, breaks: [{ atShare: 0.02 / romM, fallM: 0.02, stillS: 0.4 }] }],
    });
    expect(eventsOf(motionOf(spec), 'bench', 0).earlierAttempts).toBe(1);
  });

  it('knows the fall and the stops of a hitched deadlift', () => {
    const [{ measures: m }] = truthFor(22, {
      lift: 'deadlift',
      reps: [
        {
          romM: 0.5,
          // Fast enough that the turn before the first fall is no stop of its own.
          drive: { ...smooth, firstPeakMps: 0.8 },
          breaks: [
            { atShare: 0.6, fallM: 0.012, stillS: 0.2 },
            { atShare: 0.8, fallM: 0.006, stillS: 0.15 },
          ],
        },
      ],
    }).reps;
    expect(m.fall_m).toBeCloseTo(0.012, 5);
    expect(m.stops).toBe(2);
    expect(m.longest_stop_s).toBeGreaterThan(0.2);
    // The planned 0.2 s and what the moves on either side take below 0.03 m/s.
    expect(m.longest_stop_s).toBeLessThan(0.26);
  });

  it('sinks into the chest by what was planned', () => {
    const [{ measures: m }] = truthFor(23, { lift: 'bench', reps: [{ pauseS: 1, sinkM: 0.012 }] }).reps;
    expect(Number(m.sink_m)).toBeGreaterThan(0.0115);
    expect(Number(m.sink_m)).toBeLessThan(0.0135);
  });

  it('marks a deadlift that bounces off the floor as a rebound, and no other', () => {
    const spec = drawScene(24, { ...still, lift: 'deadlift', reps: [{}, { restS: 0 }, {}] });
    const rebounds = [0, 1, 2].map((i) => eventsOf(motionOf(spec), 'deadlift', i).rebound);
    expect(rebounds).toEqual([false, true, false]);
  });

  it('leaves the lockout of a dropped deadlift where it was', () => {
    const held = truthFor(25, { lift: 'deadlift', reps: [{}] }).reps[0];
    const dropped = truthFor(25, { lift: 'deadlift', reps: [{ dropped: true }] }).reps[0];
    expect(dropped.lockout_s).toBe(held.lockout_s);
    expect(dropped.outcome.kind).toBe('completed');
  });
});

describe('what of the rim can be seen', () => {
  const square = { lift: 'bench', camera: { offSquareRad: 0, aimRightM: 0 } } as const;

  it('is all of it without anything in front', () => {
    for (const f of truthFor(31, square).frames) expect(f.covered).toBe(0);
  });

  it('is less by the exact arcs that a known upright hides, within a place of 180', () => {
    const [widthM, zM] = [0.1, 0.6];
    const spec = drawScene(31, {
      ...still,
      ...square,
      extras: [() => [{ kind: 'upright', xM: 0, zM, widthM, topM: 2.4, colour: '#222222' }]],
    });
    const truth = truthOf(spec, 'clip.mp4', momentsOf(spec));
    const cameraZ = spec.camera.zM;
    for (const f of truth.frames) {
      // The upright's edges seen on the disc's plane, from the disc's centre; the camera stands at x = 0.
      const edge = ((widthM / 2) * cameraZ) / (cameraZ - zM);
      const x = f.x_m + truth.origin.x_m;
      const arc = (at: number) => Math.asin(Math.min(1, Math.max(-1, at / 0.225)));
      const share = (arc(edge - x) - arc(-edge - x)) / Math.PI;
      expect(Math.abs(f.covered - share)).toBeLessThan(2.1 / 180);
    }
  });

  it('is nothing of it while somebody carries a box past it', () => {
    const look = drawScene(31).lifter;
    const { frames } = truthFor(31, {
      ...square,
      extras: [() => [{ kind: 'walker', xM: -0.33, atS: 1.5, zM: 1.6, speedMps: 1, carries: 'box', look }]],
    });
    expect(Math.max(...frames.map((f) => f.covered))).toBe(1);
    expect(frames[0].covered).toBe(0);
  });

  it('moves with the disc that hangs 3 mm off the axis, which the bar does not', () => {
    const discs = [{ diameterM: 0.45, thicknessM: 0.04, design: 'iron', colour: '#222222' } as const];
    const [true_, off] = [0, 0.003].map((runOutM) =>
      truthFor(31, { ...square, discs: [{ ...discs[0], runOutM }] }),
    );
    off.frames.forEach((f, i) => {
      const t = true_.frames[i];
      expect(Math.hypot(f.px - t.px, f.py - t.py) * off.disc.metres_per_px).toBeCloseTo(0.003, 4);
      expect([f.x_m, f.y_m]).toEqual([t.x_m, t.y_m]);
    });
  });
});

describe('the suite', () => {
  it('has named scenes whose truth fits its schema, with finite measures and the disc inside the picture', () => {
    expect(new Set(suite.map((s) => s.name)).size).toBe(suite.length);
    for (const { spec, name } of suite) {
      const truth = truthSchema.parse(truthOf(spec, `${name}.mp4`, momentsOf(spec)));
      expect(truth.reps.length).toBe(spec.plan.reps.length);
      for (const { rim } of truth.frames) {
        expect(rim.x_px - rim.a_px, name).toBeGreaterThan(0);
        expect(rim.x_px + rim.a_px, name).toBeLessThan(truth.film.width_px);
        expect(rim.y_px - rim.a_px, name).toBeGreaterThan(0);
        expect(rim.y_px + rim.a_px, name).toBeLessThan(truth.film.height_px);
      }
    }
  });
});
