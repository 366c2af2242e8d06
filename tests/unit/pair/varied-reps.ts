import type { Calibration } from '../../../shared-lib/contract/clip.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { MeasureName } from '../../../shared-lib/contract/measures.ts';
import { discByRule, discMeasured, discUnmeasured } from '../../../shared-lib/camera/disc-size.ts';
import type { Random } from '../../../shared-lib/motion/random.ts';
import { calibration as ordinary } from './clips.ts';
import { reps, trueValues, type Ends, type Filming, type Rep } from './simulate.ts';
import { measuredNoise } from './trace-noise.ts';

const between = (random: Random, lo: number, hi: number): number => lo + (hi - lo) * random.uniform();
const rad = (deg: number): number => (deg * Math.PI) / 180;

/** A rep drawn within what lifters do. */
export function drawRepOf(lift: Lift, random: Random): Rep {
  const usual = reps[lift];
  const some = (share: number, lo: number, hi: number): number => {
    const value = between(random, lo, hi);
    return random.uniform() < share ? value : 0;
  };
  const paused = lift === 'bench' ? 1 : lift === 'squat' ? 0.3 : 0;
  const unracked = lift === 'deadlift' ? 0 : 0.3;
  const grinds = random.uniform() < 0.2;
  // From minimum jerk to corners as sharp as in rendered scenes.
  const ends = (): Ends => [between(random, 1.3, 2), between(random, 1.3, 2)];
  return {
    ...usual,
    unrackS: some(unracked, 0.7, 1.1),
    depthM: usual.depthM * between(random, 0.85, 1.15),
    descentS: lift === 'deadlift' ? 0 : between(random, 0.9, 2.4),
    hesitation: some(0.2, 0.4, 0.9),
    pauseS: some(paused, 0.45, 1.2),
    sinkM: lift === 'bench' ? between(random, 0, 0.012) : 0,
    driveS: between(random, 1, 2.4),
    dip: grinds ? between(random, 0.95, 1.25) : between(random, 0.2, 0.9),
    bottomX: lift === 'deadlift' ? 0 : between(random, -0.04, 0.1),
    lockoutX: between(random, -0.03, 0.03),
    bellyX: between(random, -0.04, 0.04),
    sagM: between(random, 0.001, 0.02),
    swayM: between(random, 0.0005, 0.004),
    swayHz: between(random, 0.3, 0.8),
    descentEnds: ends(),
    driveEnds: ends(),
  };
}

/** A drive whose speed dips by more falls back so far that it is none. */
const mostDip = 1.3;

/** Which trait of a rep moves a measure. */
const lever: Partial<Record<MeasureName, Exclude<keyof Rep, 'lift' | 'descentEnds' | 'driveEnds'>>> = {
  drift_bottom_m: 'bottomX',
  drift_lockout_m: 'lockoutX',
  drift_max_m: 'bellyX',
  depth_m: 'depthM',
  descent_s: 'descentS',
  pause_s: 'pauseS',
  bow_m: 'bellyX',
  mean_drive_mps: 'driveS',
  slowest_mps: 'dip',
  sag_m: 'sagM',
};

/** The rep with one measure changed by `difference`, everything else as far as it hangs on that; null where it cannot be. */
export function planted(rep: Rep, name: MeasureName, difference: number): Rep | null {
  const trait = lever[name];
  const before = trueValues(rep)[name];
  if (trait === undefined || before === null) return null;
  let step = Math.max(0.02, 0.1 * Math.abs(rep[trait]));
  let at = rep[trait];
  let reached = 0;
  // Secant steps: the measures go almost straight with their traits.
  for (let k = 0; k < 8; k++) {
    const next = at + step;
    if (trait === 'dip' && next > mostDip) return null;
    const value = trueValues({ ...rep, [trait]: next })[name];
    if (value === null || !Number.isFinite(next) || next < (trait.endsWith('S') ? 0.3 : -1)) return null;
    const slope = (value - before - reached) / step;
    at = next;
    reached = value - before;
    if (Math.abs(reached - difference) < 0.002 * Math.abs(difference)) return { ...rep, [trait]: at };
    if (!(Math.abs(slope) > 1e-6)) return null;
    step = (difference - reached) / slope;
  }
  return null;
}

/** One clip's filming drawn within what phones and gyms give. `good`: with a plumb line and a measured disc. */
export function drawFilming(random: Random, good: boolean): Filming {
  const fps = random.uniform() < 0.5 ? 30 : 60;
  const metresPerPx = between(random, 0.0018, 0.004);
  // Clips differ in light and sharpness, and in what wanders over them.
  const whiteM = measuredNoise.whiteM * Math.exp(measuredNoise.whiteSpread * random.normal());
  const slowM =
    Math.sqrt(measuredNoise.slowPerWhiteM * whiteM) * Math.exp(measuredNoise.slowSpread * random.normal());
  const disc =
    good || random.uniform() < 0.4 ? discMeasured(450) : random.uniform() < 0.3 ? discByRule : discUnmeasured;
  const plumb = good ? 'user' : (['none', 'proposed', 'user'] as const)[Math.floor(3 * random.uniform())];
  const calibration: Calibration = {
    ...ordinary,
    ...disc,
    metresPerPx,
    rimScaleSigma: 0.003,
    offSquareRad: rad(between(random, 3, 22)),
    offSquareSigmaRad: rad(2),
    plumb,
    rollSigmaRad: rad({ none: 1, proposed: 0.3, user: 0.2 }[plumb]),
  };
  return {
    fps,
    noise: { whiteM, slowM, statedM: whiteM * 2 ** between(random, -0.5, 0.5) },
    calibration,
  };
}
