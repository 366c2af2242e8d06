import type { ClipOptions } from '../contract/review.ts';
import { Failure } from '../contract/errors.ts';
import { discNorms } from '../norms/discs.ts';

/** A disc's diameter and its standard uncertainty, metres. */
export interface DiscSize {
  discM: number;
  discSigmaM: number;
  /** How much larger than that it is expected to be, part of the uncertainty; nothing where absent. */
  discOffsetM?: number;
}

/** A user's tape measure is taken to be within this of the truth, everywhere between equally likely (common practice). */
const tapeLimitM = 0.002;

/** A weightlifting disc of 10 kg or more, on the user's word: 450 mm within the rule's limits of 1 mm. */
export const discByRule: DiscSize = {
  discM: discNorms.weightlifting.diameterM,
  discSigmaM: discNorms.weightlifting.sigmaM,
};

/**
 * A disc that nobody measured is taken as 450 mm, the size on its label. Gym discs lie round 445 mm within
 * 8 mm, so the standard uncertainty is the root mean square distance of such a disc from 450 mm: the offset
 * of 5 mm and the spread 8 mm / sqrt(3) in quadrature, 6.8 mm (JCGM 100:2008, F.2.4.5 on offsets left in). Where whole
 * distributions are drawn the offset goes in as it is: two such discs share it, and it leaves their difference.
 */
export const discUnmeasured: DiscSize = {
  discM: 0.45,
  discSigmaM: Math.hypot(0.45 - discNorms.gym.diameterM, discNorms.gym.sigmaM),
  discOffsetM: discNorms.gym.diameterM - 0.45,
};

/**
 * A diameter that the user measured, millimetres.
 *
 * @throws Failure when no disc has that size
 */
export function discMeasured(discMm: number): DiscSize {
  if (!(discMm >= 100 && discMm <= 600))
    throw new Failure(
      'usage',
      `No disc is ${discMm} mm across.`,
      'Give the diameter of the largest disc on the near end in millimetres, usually 450.',
    );
  return { discM: discMm / 1000, discSigmaM: tapeLimitM / Math.sqrt(3) };
}

/** Below the largest size the rules leave the diameter open: discs of one mass lie within this of the usual, from memory. */
const usualLimitM = 0.01;

/** The disc's size by what the user says of it. */
export function discSaid({ discMm, discKnown }: Pick<ClipOptions, 'discMm' | 'discKnown'>): DiscSize {
  if (discMm === null) return discUnmeasured;
  const measured = discMeasured(discMm);
  if (discKnown === 'rule') return discByRule;
  return discKnown === 'usual' ? { ...measured, discSigmaM: usualLimitM / Math.sqrt(3) } : measured;
}
