import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import type { Random } from '../../../shared-lib/motion/random.ts';
import type { RepPath } from '../../../shared-lib/pair/line-up.ts';

const dtS = 0.01;
const descentS = 1.5;
const driveS = 1.2;
const rangeM = 0.5;

const events: RepEvents = {
  startS: 0,
  touchS: descentS,
  bottomS: descentS,
  pauseStartS: null,
  pauseEndS: null,
  driveStartS: descentS,
  lockoutS: descentS + driveS,
  earlierAttempts: 0,
  rebound: false,
  outcome: { kind: 'completed' },
};

/**
 * One rep of a lifter whose path varies from rep to rep by a few smooth bends, each normal with a standard deviation of
 * `scatterM`, on a way of half a metre down and up.
 */
export function simulatedRep(random: Random, scatterM: number, shiftM = 0): RepPath {
  const bends = Array.from({ length: 3 }, () => [random.normal(), random.normal()]);
  const waysM = (share: number, way: 0 | 1): number =>
    bends.reduce(
      (x, bend, k) => x + (scatterM * bend[way] * Math.sin((k + 0.5) * Math.PI * share)) / (k + 1),
      0,
    );
  const n = Math.round((descentS + driveS) / dtS) + 1;
  const path: RepPath = {
    tS: new Float64Array(n),
    xM: new Float64Array(n),
    yM: new Float64Array(n),
    vyMps: new Float64Array(n),
    events,
  };
  for (let i = 0; i < n; i++) {
    const tS = i * dtS;
    const down = tS <= descentS;
    const share = down ? tS / descentS : 1 - (tS - descentS) / driveS;
    const eased = (1 - Math.cos(Math.PI * Math.max(0, share))) / 2;
    path.tS[i] = tS;
    path.yM[i] = -rangeM * eased;
    // Both ways meet at the bottom, where the drive goes on from the descent's place.
    const away = down ? waysM(eased, 0) : waysM(1, 0) + waysM(eased, 1) - waysM(1, 1);
    path.xM[i] = 0.05 * eased + away + shiftM * eased;
  }
  return path;
}
