import { max } from 'd3-array';
import type { Lift } from '../contract/lift.ts';
import type { MeasureValues } from '../contract/measures.ts';
import { meanDriveMps, rangeOfRepM } from '../norms/lifters.ts';
import { texts } from '../texts/texts.ts';

/** What of a rep a lifter's body sets limits to. */
export type BodilyMeasures = Pick<MeasureValues, 'rom_m' | 'mean_drive_mps'>;

/** Limits stand three sigmas from the middle, on a scale of ratios: within them nothing is asked. */
const limitSigmas = 3;
/** How often the ruler is wrong, beforehand (measured on rendered clips), and how many times too large or small it is then, at most. */
const wrongShare = 0.03;
const mostTimes = 8;
/** Where a wrong ruler is as likely as this, a person should look. */
const likelyWrong = 0.4;

/** How likely the ruler is wrong, 0 to 1, where a bar comes out at this value of a measure that bodies set limits to. */
export function wrongRulerShare(value: number, { least, most }: { least: number; most: number }): number {
  if (!(value > 0)) return wrongShare;
  const sigma = Math.log(most / least) / (2 * limitSigmas);
  const z = Math.log(value / Math.sqrt(least * most)) / sigma;
  const right = Math.exp(-0.5 * z * z) / (sigma * Math.sqrt(2 * Math.PI));
  const wrong = 1 / (2 * Math.log(mostTimes));
  return (wrongShare * wrong) / (wrongShare * wrong + (1 - wrongShare) * right);
}

const { improbable: words } = texts.clip;

type Off = 'too much' | 'too little' | null;

function offOf(value: number | undefined, limits: { least: number; most: number }): Off {
  if (value === undefined || wrongRulerShare(value, limits) <= likelyWrong) return null;
  return value > Math.sqrt(limits.least * limits.most) ? 'too much' : 'too little';
}

/**
 * Asks about a clip whose bar moves as no lifter's does: its ruler, or its time, is then likely wrong. Reps that were not
 * completed may be as short as they like.
 *
 * @param reps one for each rep
 * @returns a sentence that says what is wrong and one that says what to do; null where all is as bodies allow
 */
export function lengthsQuestion(
  lift: Lift,
  reps: readonly BodilyMeasures[],
): { said: string; advice: string } | null {
  const completed = reps.filter((rep) => rep.mean_drive_mps !== null);
  const farthestM = max(reps, (rep) => rep.rom_m ?? undefined);
  const wholeM = max(completed, (rep) => rep.rom_m ?? undefined);
  const isFar = offOf(farthestM, rangeOfRepM[lift]) === 'too much';
  if (isFar || offOf(wholeM, rangeOfRepM[lift]) === 'too little') {
    const rise = `${(100 * (isFar ? farthestM! : wholeM!)).toFixed(0)} cm`;
    const lifts = texts.measures.lifts[lift];
    return {
      said: isFar ? words.farther(rise, lifts) : words.less(rise, lifts),
      advice: words.checkDisc,
    };
  }
  const { fastestMps, off } = paceOf(reps);
  if (!off) return null;
  const speed = `${fastestMps.toFixed(2)} m/s`;
  return { said: off === 'too much' ? words.faster(speed) : words.slower(speed), advice: words.checkPace };
}

/** The fastest drive of completed reps, m/s, and whether any lifter moves so. */
export function paceOf(reps: readonly BodilyMeasures[]): { fastestMps: number; off: Off } {
  const fastestMps = max(reps, (rep) => rep.mean_drive_mps ?? undefined);
  return { fastestMps: fastestMps ?? NaN, off: offOf(fastestMps, meanDriveMps) };
}
