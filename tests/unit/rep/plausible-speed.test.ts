import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { freeFalls } from '../../../shared-lib/rep/free-fall.ts';
import { speedDoubt } from '../../../shared-lib/rep/plausible-speed.ts';
import { standing } from './lifts.ts';

const g = 9.80665;

/** A pull of `heightM` that is held and let go, played `times` slower than life: what a follower would make of it. */
function dropped(heightM: number, times: number): Motion {
  const dtS = 1 / 120;
  const fallS = Math.sqrt((2 * heightM) / g);
  const heldS = 1.5;
  const n = Math.round(((heldS + fallS + 1) * times) / dtS);
  const y = new Float64Array(n);
  const v = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const tS = (i * dtS) / times - heldS;
    const falls = tS > 0 && tS < fallS;
    y[i] = tS <= 0 ? heightM : falls ? heightM - 0.5 * g * tS * tS : 0;
    v[i] = falls ? (-g * tS) / times : 0;
  }
  return { t0S: 0, dtS, xM: new Float64Array(n), yM: y, vxMps: new Float64Array(n), vyMps: v };
}

describe('free falls', () => {
  it('tell how many times slower than life they play, from any height', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.35, max: 1.6, noNaN: true }),
        fc.double({ min: 1, max: 8, noNaN: true }),
        (heightM, times) => {
          const [fall] = freeFalls(dropped(heightM, times));
          expect(Math.sqrt(g / fall)).toBeCloseTo(times, 1);
        },
      ),
    );
  });

  it('are not seen in a bar that is lowered by hand, however quickly', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.25, max: 0.9, noNaN: true }),
        fc.double({ min: 0.3, max: 4, noNaN: true }),
        (downM, s) => {
          expect(freeFalls(standing({ s, y: -downM }, { s: 1 }, { s: 1.2, y: 0 }))).toEqual([]);
        },
      ),
    );
  });
});

describe('speedDoubt', () => {
  const rep = (mean_drive_mps: number) => ({ rom_m: 0.5, mean_drive_mps });

  it('asks where a bar falls slower than things fall, and says how many times slower it then plays', () => {
    const doubt = speedDoubt(dropped(0.6, 4), [rep(0.3)])!;
    expect(doubt.said).toContain('falls slower than things fall: by 0.6 m/s²');
    expect(doubt.timesSlower).toBeCloseTo(4, 1);
  });

  it('asks where it falls faster, and proposes nothing', () => {
    const motion = dropped(0.6, 1);
    const faster = { ...motion, dtS: motion.dtS / 2, vyMps: motion.vyMps.map((v) => 2 * v) };
    expect(speedDoubt(faster, [rep(0.6)])).toEqual({
      said: 'The bar falls faster than things fall: by 39.2 m/s², where it should be 9.8.',
      timesSlower: null,
    });
  });

  it('asks where a drive is faster or slower than any lifter’s', () => {
    const still = dropped(0.6, 1);
    expect(speedDoubt(still, [rep(4)])!.said).toContain('4.00 m/s on average, faster');
    expect(speedDoubt(still, [rep(0.015)])!.said).toContain('0.01 m/s on average, slower');
  });

  it('asks nothing of an ordinary lift, dropped or lowered', () => {
    expect(speedDoubt(dropped(0.6, 1), [rep(0.3)])).toBeNull();
    expect(speedDoubt(standing({ s: 1.2, y: -0.5 }, { s: 0.9, y: 0 }), [rep(0.55)])).toBeNull();
    expect(speedDoubt(standing({ s: 1.2, y: -0.5 }), [])).toBeNull();
  });
});
