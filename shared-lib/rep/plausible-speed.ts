import { max } from 'd3-array';
import type { Motion } from '../contract/motion.ts';
import { freeFalls } from './free-fall.ts';
import { paceOf, type BodilyMeasures } from './plausible-lengths.ts';

/** Standard gravity, m/s² (CGPM 1901). */
const gravityMps2 = 9.80665;
/** A fall whose acceleration is within this factor of gravity tells nothing: bars are guided, discs are not quite as large as said. */
const mostOff = 1.5;

/**
 * What speaks against a clip playing as fast as its speed is taken to be, as one sentence; null where nothing does.
 *
 * @param reps one for each rep
 * @returns `timesSlower` how many times slower than that it would have to play, where a fall tells
 */
export function speedDoubt(
  motion: Motion,
  reps: readonly BodilyMeasures[],
): { said: string; timesSlower: number | null } | null {
  // The fastest fall: what was guided by hands falls slower.
  const fall = max(freeFalls(motion));
  const share = fall === undefined ? 1 : fall / gravityMps2;
  if (share > mostOff || share < 1 / mostOff) {
    return {
      said: `The bar falls ${share > 1 ? 'faster' : 'slower'} than things fall: by ${fall!.toFixed(1)} m/s², where it should be 9.8.`,
      timesSlower: share < 1 ? Math.sqrt(1 / share) : null,
    };
  }
  const { fastestMps, off } = paceOf(reps);
  if (!off) return null;
  return {
    said: `The drive comes out at ${fastestMps.toFixed(2)} m/s on average, ${off === 'too much' ? 'faster' : 'slower'} than any lifter’s.`,
    timesSlower: null,
  };
}
