import type { UsualRep } from '../../../shared-lib/contract/band.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import { measureInfo, measureNames } from '../../../shared-lib/contract/measures.ts';
import { seededRandom, type Random } from '../../../shared-lib/motion/random.ts';
import { smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { comparePair } from '../../../shared-lib/pair/changes.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import { drawSources, errorSources } from '../../../shared-lib/pair/sources.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';
import { clipOf, film, timingOf, type Filming, type Rep } from './simulate.ts';
import { picture } from './clips.ts';
import { drawFilming, drawRepOf } from './varied-reps.ts';

/** How an ordinary lifter's reps differ from one to the next, one sigma, SI: common practice. */
export const ordinarySpread = {
  depthM: 0.008,
  descentS: 0.12,
  pauseS: 0.1,
  /** Of a drive's time, or of its speeds. */
  driveShare: 0.05,
  dip: 0.06,
  bottomX: 0.008,
  lockoutX: 0.008,
  bellyX: 0.006,
  sagM: 0.002,
} as const;

/** Another ordinary rep of the lifter whose middle rep this is. */
export function ordinaryRep(middle: Rep, random: Random): Rep {
  const rep = { ...middle };
  const { driveShare, ...traits } = ordinarySpread;
  for (const [trait, sigma] of Object.entries(traits) as [keyof typeof traits, number][]) {
    // What the lift lacks stays away.
    if (middle[trait] !== 0) rep[trait] = middle[trait] + sigma * random.normal();
  }
  rep.driveS *= 1 + driveShare * random.normal();
  return { ...rep, pauseS: middle.pauseS && Math.max(0.25, rep.pauseS), sagM: Math.max(0, rep.sagM) };
}

/** The camera, light and disc of one day: errors that all clips of the day share. */
function dayOf(lift: Lift, good: boolean, random: Random): (rep: Rep) => MeasuredClip {
  const filming: Filming = drawFilming(random, good);
  const { calibration, fps } = filming;
  const errors = drawSources(errorSources({ lift, calibration, timing: timingOf(fps), picture }), random);
  return (rep) => clipOf(lift, film(rep, errors, filming, random), filming);
}

function usualRep(clip: MeasuredClip, day: number, rep: number): UsualRep {
  const { motion, restNoise } = smoothTrace(clip.plane, clip.smoothing);
  const values = measureRep(motion, clip.reps[0].events, clip.lift, restNoise);
  const measures = Object.fromEntries(
    measureNames.map((name) => {
      const value = values[name];
      const { unit } = measureInfo[name];
      return [name, value === null ? null : { value, lo95: value, hi95: value, u95: 0, unit }];
    }),
  );
  return { clip: `day ${day}`, rep, day: `2026-11-0${day}`, measures };
}

/**
 * A lifter who has not changed, with six usual reps of two days, the reference among them, and a rep of a third day.
 *
 * @returns whether any headline change is called `changed`, which is false; null where a rep was not found
 */
export function usualTrial(lift: Lift, good: boolean, draws: number, seed: number): boolean | null {
  const random = seededRandom(seed);
  const middle = drawRepOf(lift, random);
  const films = [1, 2].flatMap((day) => {
    const filmed = dayOf(lift, good, random);
    return [1, 2, 3].map((rep) => ({ day, rep, clip: filmed(ordinaryRep(middle, random)) }));
  });
  const today = dayOf(lift, good, random)(ordinaryRep(middle, random));
  if ([today, ...films.map(({ clip }) => clip)].some((clip) => clip.reps.length === 0)) return null;
  const usual = {
    todayClip: 'today',
    reps: films.map(({ clip, day, rep }) => usualRep(clip, day, rep)),
  };
  const { changes } = comparePair(films[0].clip, today, { draws, usual });
  return changes.some(({ call }) => call === 'changed');
}
