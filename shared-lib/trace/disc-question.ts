import type { Calibration } from '../contract/clip.ts';
import { sureEnough } from './choose-trace.ts';

/** What a person is asked where the disc was found by the program alone and may be another; null where it is sure. */
export function discQuestion({ sureness = 1 }: Calibration['seed']): { said: string; advice: string } | null {
  if (sureness >= sureEnough) return null;
  return {
    said: 'Check that the right disc is followed: it showed little of its rim, or another one moves about as a bar does.',
    advice: 'Where it is the wrong one, point at the near disc.',
  };
}
