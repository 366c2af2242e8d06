import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { curvesByHeight, curvesByPhase } from '../../../shared-lib/pair/curves.ts';
import { matchedKnots } from '../../../shared-lib/pair/knots.ts';
import { byClock, byHeight, byPhase, repPath, type RepPath } from '../../../shared-lib/pair/line-up.ts';

const dtS = 1 / 240;

interface Shape {
  startS: number;
  downS: number;
  pauseS: number;
  upS: number;
  depthM: number;
  /** Drift at the bottom and at lockout, metres. */
  bottomX: number;
  lockoutX: number;
}

const smooth = (s: number) => s * s * (3 - 2 * s);
const slope = (s: number) => 6 * s * (1 - s);

/** A squat whose legs follow a cubic in time and whose path is a straight line on each way. */
function rep(shape: Shape): { motion: Motion; events: RepEvents } {
  const { startS, downS, pauseS, upS, depthM, bottomX, lockoutX } = shape;
  const bottomS = startS + downS;
  const driveStartS = bottomS + pauseS;
  const lockoutS = driveStartS + upS;
  const n = Math.round((lockoutS + 0.5) / dtS);
  const column = (f: (t: number) => number) => Float64Array.from({ length: n }, (_, i) => f(i * dtS));
  const share = (t: number, from: number, length: number) => Math.min(Math.max((t - from) / length, 0), 1);
  const down = (t: number) => smooth(share(t, startS, downS));
  const up = (t: number) => smooth(share(t, driveStartS, upS));
  return {
    motion: {
      t0S: 0,
      dtS,
      xM: column((t) => 4 + bottomX * down(t) + (lockoutX - bottomX) * up(t)),
      yM: column((t) => 1 - depthM * (down(t) - up(t))),
      vxMps: column(() => 0),
      vyMps: column(
        (t) => -depthM * (slope(share(t, startS, downS)) / downS - slope(share(t, driveStartS, upS)) / upS),
      ),
    },
    events: {
      startS,
      touchS: null,
      bottomS,
      pauseStartS: null,
      pauseEndS: null,
      driveStartS,
      lockoutS,
      earlierAttempts: 0,
      rebound: false,
      outcome: { kind: 'completed' },
    },
  };
}

const a = rep({ startS: 0.5, downS: 1, pauseS: 0.1, upS: 1.2, depthM: 0.6, bottomX: 0.05, lockoutX: 0.01 });
const b = rep({
  startS: 0.8,
  downS: 1.5,
  pauseS: 0.2,
  upS: 0.9,
  depthM: 0.6,
  bottomX: 0.09,
  lockoutX: -0.02,
});
const knots = matchedKnots(a.events, b.events);
const path = ({ motion, events }: typeof a, origin: 'start' | 'bottom' | 'lockout' = 'start'): RepPath =>
  repPath(motion, events, origin)!;

describe('matchedKnots', () => {
  it('lists the events both reps have in time order', () => {
    expect(knots.map((k) => k.event)).toEqual(['start', 'bottom', 'drive start', 'lockout']);
    expect(knots[1]).toEqual({ event: 'bottom', referenceS: 1.5, todayS: 2.3 });
  });
  it('leaves out what one rep lacks and what coincides', () => {
    const pull: RepEvents = { ...a.events, bottomS: null, driveStartS: a.events.startS };
    expect(matchedKnots(pull, pull).map((k) => k.event)).toEqual(['start', 'lockout']);
    expect(matchedKnots(a.events, { ...b.events, lockoutS: null }).at(-1)!.event).toBe('drive start');
  });
});

describe('repPath', () => {
  it('lays the origin on the start, the bottom or the lockout', () => {
    expect(path(a).yM[0]).toBeCloseTo(0, 12);
    expect(path(a).xM[0]).toBeCloseTo(0, 12);
    expect(path(a, 'bottom').yM[0]).toBeCloseTo(0.6, 6);
    expect(path(a, 'lockout').xM[0]).toBeCloseTo(-0.01, 6);
  });
  it('is null where the rep lacks the event', () => {
    expect(repPath(a.motion, { ...a.events, bottomS: null }, 'bottom')).toBeNull();
  });
});

describe('running both reps together', () => {
  it('by clock keeps real time from the chosen event', () => {
    expect(byClock(knots[2], 1.85)).toBeCloseTo(2.5 + 0.25, 12);
  });
  it('by phase brings every event together and halves of phases too', () => {
    for (const k of knots) expect(byPhase(knots, k.referenceS)).toBeCloseTo(k.todayS, 12);
    expect(byPhase(knots, 1)).toBeCloseTo(0.8 + 0.75, 12);
    expect(byPhase(knots, 0.2)).toBeCloseTo(0.5, 12);
  });
  it('by height finds the same bar height in the same phase', () => {
    const [pa, pb] = [path(a), path(b)];
    const heightAt = (p: RepPath, t: number) => {
      const i = Math.floor(t / dtS);
      return p.yM[i] + (t / dtS - i) * (p.yM[i + 1] - p.yM[i]);
    };
    for (const t of [0.7, 1, 1.3, 1.8, 2.2, 2.6]) {
      const u = byHeight(pa, pb, knots, t);
      expect(heightAt(pb, u)).toBeCloseTo(heightAt(pa, t), 4);
      // Down stays down, up stays up.
      expect(u < b.events.bottomS!).toBe(t < a.events.bottomS!);
    }
  });
  it('by height stays at the end of a phase that today’s bar does not finish', () => {
    const shallow = rep({ startS: 0.5, downS: 1, pauseS: 0.1, upS: 1, depthM: 0.4, bottomX: 0, lockoutX: 0 });
    const ks = matchedKnots(a.events, shallow.events);
    const u = byHeight(path(a), path(shallow), ks, 1.4);
    expect(Math.abs(u - shallow.events.bottomS!)).toBeLessThan(0.02);
  });
  it('never runs backward, in any way', () => {
    const [pa, pb] = [path(a), path(b)];
    const time = fc.double({ min: 0, max: 3.2, noNaN: true });
    fc.assert(
      fc.property(time, time, (s, t) => {
        const [early, late] = [Math.min(s, t), Math.max(s, t)];
        expect(byPhase(knots, late)).toBeGreaterThanOrEqual(byPhase(knots, early));
        expect(byHeight(pa, pb, knots, late)).toBeGreaterThanOrEqual(byHeight(pa, pb, knots, early) - 1e-9);
      }),
    );
  });
});

describe('curves', () => {
  const { down, up } = curvesByHeight(path(a), path(b));

  it('separate the paths by height, down and up apart', () => {
    // Straight lines: 4 cm apart at the bottom going down, in proportion to the depth.
    down!.heightM.forEach((h, i) => expect(down!.separationM[i]).toBeCloseTo((0.04 * -h) / 0.6, 3));
    // Going up from 4 cm apart to 3 cm apart the other way: they cross, and the distance stays positive.
    up!.heightM.forEach((h, i) => {
      expect(up!.separationM[i]).toBeCloseTo(Math.abs(0.04 - (0.07 * (h + 0.6)) / 0.6), 3);
    });
  });
  it('cover the heights that both reps pass in steps of a centimetre', () => {
    expect(down!.heightM.length).toBeGreaterThanOrEqual(59);
    expect(down!.heightM[1] - down!.heightM[0]).toBeCloseTo(0.01, 12);
  });
  it('never go negative, whatever the paths', () => {
    const x = fc.double({ min: -0.2, max: 0.2, noNaN: true });
    fc.assert(
      fc.property(x, x, x, x, fc.double({ min: 0.3, max: 0.8, noNaN: true }), (b0, l0, b1, l1, depthM) => {
        const shape = { startS: 0.5, downS: 1, pauseS: 0.1, upS: 1 };
        const one = rep({ ...shape, depthM, bottomX: b0, lockoutX: l0 });
        const two = rep({ ...shape, depthM: 0.5, bottomX: b1, lockoutX: l1 });
        const curves = curvesByHeight(path(one), path(two));
        for (const c of [curves.down!, curves.up!])
          for (const s of c.separationM) expect(s).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 20 },
    );
  });
  it('give the velocity difference at equal shares of each phase', () => {
    const drive = curvesByPhase(path(a), path(b), knots, 10).at(-1)!;
    expect([drive.from, drive.to]).toEqual(['drive start', 'lockout']);
    // Cubic legs: the velocity at half way is 1.5 times the mean.
    expect(drive.share[5]).toBe(0.5);
    expect(drive.velocityDifferenceMps[5]).toBeCloseTo(1.5 * (0.6 / 0.9 - 0.6 / 1.2), 3);
  });
  it('are null on a way that one rep lacks', () => {
    const pull = { ...path(a), events: { ...a.events, bottomS: null } };
    expect(curvesByHeight(pull, path(b)).down).toBeNull();
  });
});
