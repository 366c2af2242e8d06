import type { Truth } from '../../demo-data/truth/schema.ts';
import type { RepsOfClip } from '../../electron/desk/clip-reps.ts';
import type { PlaneTrace } from '../../shared-lib/contract/motion.ts';
import { seededRandom } from '../../shared-lib/motion/random.ts';
import { smoothTrace } from '../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../shared-lib/motion/smoothing-by-evidence.ts';
import { findReps } from '../../shared-lib/rep/find-reps.ts';
import { scoreReps, type RepsScore } from './score-reps.ts';

/** What is left where only the trace's white noise stands between the truth and the measuring: no ruler, up or camera errs. */
export type BoundScore = Pick<RepsScore, (typeof bounded)[number]>;
const bounded = [
  'meanDrivePct',
  'peakDrivePct',
  'slowestMps',
  'startMs',
  'bottomMs',
  'driveStartMs',
  'lockoutMs',
] as const;

/**
 * Smooths and measures a clip's true positions with white noise as large as its trace shows, at the moments at which it has
 * samples, as the program does with what it followed. What comes out bounds what following better could bring.
 */
export function scoreBound({ followed, measured }: RepsOfClip, truth: Truth): BoundScore {
  const { plane } = followed;
  const { x, y } = measured.smoothing;
  const random = seededRandom(1);
  const noisy = (noise: Float64Array, of: 'x_m' | 'y_m'): Float64Array =>
    plane.tS.map((_, i) => {
      const real = truth.frames.at(i);
      return plane.state[i] === lost || !real ? NaN : real[of] + noise[i] * random.normal();
    });
  // True positions are at the frames' stamps, also where a converted film's pictures were taken before them.
  const tS = plane.tS.map((t, i) => truth.frames.at(i)?.t_s ?? t);
  const exact: PlaneTrace = { ...plane, tS, xM: noisy(x.noiseM, 'x_m'), yM: noisy(y.noiseM, 'y_m') };
  const smoothed = smoothTrace(exact, smoothingByEvidence(exact));
  const reps = findReps(smoothed.motion, truth.lift, smoothed.restNoise);
  const all = scoreReps({ smoothed, reps }, exact, truth, 1);
  return Object.fromEntries(bounded.map((name) => [name, all[name]])) as unknown as BoundScore;
}

const lost = 2;
