import type { ClipFile } from '../contract/clip.ts';
import { texts } from '../texts/texts.ts';
import { sureEnough } from './choose-trace.ts';

/**
 * What a person is asked about the ruler: where the bar moves as no lifter's does, or the disc was found by the program
 * alone and may be another. Null where it is sure.
 */
export function discQuestion({
  check: { improbable },
  calibration: {
    seed: { sureness = 1 },
  },
}: Pick<ClipFile, 'check' | 'calibration'>): { said: string; advice: string } | null {
  if (improbable) return improbable;
  if (sureness >= sureEnough) return null;
  return {
    said: texts.clip.whichDisc,
    advice: texts.clip.pointAtDisc,
  };
}
