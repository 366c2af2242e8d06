import { framed } from '../../../demo-data/random-suite.ts';
import type { Random } from '../../../demo-data/scene/random.ts';
import type { RepPlan } from '../../../demo-data/scene/spec.ts';
import { streamOf } from '../../../demo-data/suite/streams.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import { ordinarySpread } from '../../unit/pair/usual-lifter.ts';
import type { Filmed } from './measured-film.ts';
import {
  drawCamera,
  drawDisc,
  drawFilm,
  drawPlan,
  drawPlumbError,
  drawSideways,
  sceneOfLift,
  withDip,
} from './nuisances.ts';

/** A lifter who does not change, filmed on three days: two that say what is usual, and today. */
export interface LifterDraw {
  name: string;
  lift: Lift;
  days: [Filmed, Filmed, Filmed];
}

const firstSeed = 5_000_000;
const lifts = ['squat', 'bench', 'deadlift'] as const;
/** Reps of each day. */
const setOf = 3;

/**
 * Lifter `index`, always the same: another camera, film and disc each day, every second one with a plumb line, and reps that
 * vary from one to the next as they usually do.
 */
export function drawLifter(index: number): LifterDraw {
  const seed = firstSeed + 10 * index;
  const lift = lifts[index % lifts.length];
  const base = sceneOfLift(seed, lift);
  const middle: RepPlan = { ...base.reps[0], drive: withDip(base.reps[0].drive) };
  const isPlumb = Math.floor(index / lifts.length) % 2 === 0;
  const day = (d: number): Filmed => {
    const stream = (name: string): Random => streamOf(seed, `${name} of day ${d}`);
    const { disc, userMm } = drawDisc(stream('disc'));
    const reps = stream('reps');
    const spec = framed(seed + d, {
      ...base,
      discs: base.discs.map((each) => ({ ...each, ...disc })),
      camera: drawCamera(stream('camera'), base, false),
      film: drawFilm(stream('film'), base),
      plan: { ...drawPlan(stream('plan'), base), sideways: drawSideways(stream('side')) },
      reps: Array.from({ length: setOf }, () => ordinaryRep(middle, lift, reps)),
    });
    return {
      name: `lifter-${index}-${d}`,
      spec,
      discMm: userMm,
      plumbErrorRad: isPlumb ? drawPlumbError(stream('plumb')) : null,
    };
  };
  return { name: `lifter-${index}`, lift, days: [day(0), day(1), day(2)] };
}

/** Another ordinary rep of the lifter whose middle rep this is. */
function ordinaryRep(middle: RepPlan, lift: Lift, random: Random): RepPlan {
  const by = (trait: keyof typeof ordinarySpread): number => ordinarySpread[trait] * random.gauss();
  const { firstPeakMps, slowMps, secondPeakMps } = middle.drive;
  const faster = 1 + by('driveShare');
  return {
    ...middle,
    // A deadlift begins where the floor is.
    romM: middle.romM + (lift === 'deadlift' ? 0 : by('depthM')),
    descentS: Math.max(0.6, middle.descentS + by('descentS')),
    pauseS: middle.pauseS && Math.max(0.25, middle.pauseS + by('pauseS')),
    drive: {
      firstPeakMps: faster * firstPeakMps,
      slowMps: slowMps === null ? null : Math.max(0.08, faster * slowMps + firstPeakMps * by('dip')),
      secondPeakMps: faster * secondPeakMps,
    },
    driftBottomM: middle.driftBottomM + (lift === 'deadlift' ? 0 : by('bottomX')),
    driftLockoutM: middle.driftLockoutM + by('lockoutX'),
    bowM: middle.bowM + by('bellyX'),
  };
}
