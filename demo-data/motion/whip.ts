import type { BarMotion } from './bar-motion.ts';
import type { BarState } from './stage.ts';

/** Share of critical damping of a loaded bar held in two hands; common practice. */
const damping = 0.06;
const stepS = 0.0005;

/**
 * The course of a bar's end where the planned course is that of the hands: a mass on a spring, hung so that it is still at
 * the planned height when the hands are still. The bar of a deadlift rests on the floor below `floorM`. From the moment
 * at which the hands let go the end moves as planned.
 */
export function whipped(hands: BarMotion, hz: number, floorM: number | null): BarMotion {
  const omega = 2 * Math.PI * hz;
  const count = Math.ceil(hands.durationS / stepS) + 2;
  const yM = new Float64Array(count);
  const vMps = new Float64Array(count);
  const half = stepS / 2;
  const stiffness = 1 + 2 * damping * omega * half + (omega * half) ** 2;
  let before = hands.at(0);
  yM[0] = before.yM;
  vMps[0] = before.vyMps;
  for (let i = 1; i < count; i++) {
    const now = hands.at(i * stepS);
    if (i * stepS > hands.letGoS) {
      yM[i] = now.yM;
      vMps[i] = now.vyMps;
      continue;
    }
    // Implicit midpoint: stable, and no damping of its own.
    const [lag, slip] = [yM[i - 1] - before.yM, vMps[i - 1] - before.vyMps];
    const accelMps2 = (now.vyMps - before.vyMps) / stepS;
    const midSlip = (slip - half * (omega * omega * lag + accelMps2)) / stiffness;
    yM[i] = now.yM + lag + stepS * midSlip;
    vMps[i] = now.vyMps + 2 * midSlip - slip;
    if (floorM !== null && yM[i] < floorM) {
      yM[i] = floorM;
      vMps[i] = Math.max(0, vMps[i]);
    }
    before = now;
  }
  return {
    ...hands,
    at(tS): BarState {
      const state = hands.at(tS);
      if (tS >= hands.letGoS) return state;
      const i = Math.min(Math.max(Math.floor(tS / stepS), 0), count - 2);
      const s = Math.min(tS / stepS - i, 1);
      return { ...state, ...hermite(yM[i], vMps[i], yM[i + 1], vMps[i + 1], s) };
    },
  };
}

/** Height and its exact slope between two grid points. */
function hermite(y0: number, v0: number, y1: number, v1: number, s: number): { yM: number; vyMps: number } {
  const [m0, m1] = [v0 * stepS, v1 * stepS];
  const a = 2 * (y0 - y1) + m0 + m1;
  const b = 3 * (y1 - y0) - 2 * m0 - m1;
  return { yM: y0 + s * (m0 + s * (b + s * a)), vyMps: (m0 + s * (2 * b + s * 3 * a)) / stepS };
}
