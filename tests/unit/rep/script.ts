import type { Motion } from '../../../shared-lib/contract/motion.ts';

/** One leg of a scripted motion: how long it takes and where it ends, metres; omitted: no movement. */
export interface Leg {
  s: number;
  x?: number;
  y?: number;
}

const rise = (u: number): number => u * u * u * (10 - 15 * u + 6 * u * u);
const rate = (u: number): number => 30 * u * u * (1 - u) * (1 - u);

/** Position and velocity of a script at time t: minimum-jerk legs (Flash & Hogan 1985), each from rest to rest. */
export function scriptAt(
  from: { x: number; y: number },
  legs: Leg[],
  t: number,
): { x: number; y: number; vx: number; vy: number } {
  let { x, y } = from;
  let t0 = 0;
  for (const leg of legs) {
    const x1 = leg.x ?? x;
    const y1 = leg.y ?? y;
    if (t < t0 + leg.s) {
      const u = (t - t0) / leg.s;
      const k = rate(u) / leg.s;
      return { x: x + (x1 - x) * rise(u), y: y + (y1 - y) * rise(u), vx: (x1 - x) * k, vy: (y1 - y) * k };
    }
    t0 += leg.s;
    x = x1;
    y = y1;
  }
  return { x, y, vx: 0, vy: 0 };
}

export const lengthS = (legs: Leg[]): number => legs.reduce((sum, leg) => sum + leg.s, 0);

/** The motion of a script on an even base, exact. */
export function script(from: { x: number; y: number }, legs: Leg[], t0S = 0, dtS = 1 / 240): Motion {
  const n = Math.floor(lengthS(legs) / dtS) + 1;
  const motion: Motion = {
    t0S,
    dtS,
    xM: new Float64Array(n),
    yM: new Float64Array(n),
    vxMps: new Float64Array(n),
    vyMps: new Float64Array(n),
  };
  for (let i = 0; i < n; i++) {
    const p = scriptAt(from, legs, i * dtS);
    motion.xM[i] = p.x;
    motion.yM[i] = p.y;
    motion.vxMps[i] = p.vx;
    motion.vyMps[i] = p.vy;
  }
  return motion;
}

/** A motion whose height follows from a velocity as a function of time, by the trapezium rule; x stays at 0. */
export function fromVelocity(
  vMps: (t: number) => number,
  durationS: number,
  yStart = 0,
  dtS = 1 / 240,
): Motion {
  const n = Math.floor(durationS / dtS) + 1;
  const vyMps = Float64Array.from({ length: n }, (_, i) => vMps(i * dtS));
  const yM = new Float64Array(n).fill(yStart);
  for (let i = 1; i < n; i++) yM[i] = yM[i - 1] + ((vyMps[i] + vyMps[i - 1]) / 2) * dtS;
  return { t0S: 0, dtS, xM: new Float64Array(n), yM, vxMps: new Float64Array(n), vyMps };
}

/** The time within a minimum-jerk leg over `m` metres at which its speed first passes `mps`. */
export function legTimeAtSpeed(m: number, s: number, mps: number): number {
  let low = 0;
  let high = 0.5;
  for (let k = 0; k < 60; k++) {
    const u = (low + high) / 2;
    if ((Math.abs(m) * rate(u)) / s < mps) low = u;
    else high = u;
  }
  return low * s;
}

export const quiet = { syM: 0.0002, svMps: 0.002 };
