import type { FilmSpec } from '../scene/spec.ts';

/**
 * Light that a row gathers when it is exposed round a real time, against a steady exposure of 1: the lamps' ripple,
 * averaged over the time that the shutter is open, times the camera's own change of exposure.
 */
export function lightOf(film: FilmSpec): ((tS: number) => number) | null {
  const { flicker, flickerHz, exposureRamp: ramp, shutter, fps, slowMotion } = film;
  if (flicker === 0 && ramp === null) return null;
  const openRad = (Math.PI * flickerHz * shutter) / fps / slowMotion;
  const ripple = flicker * (openRad > 0 ? Math.sin(openRad) / openRad : 1);
  return (tS) => {
    const lamps = 1 + ripple * Math.cos(2 * Math.PI * flickerHz * tS);
    if (ramp === null) return lamps;
    const share = Math.min(Math.max((tS - ramp.atS) / ramp.overS, 0), 1);
    return lamps * ramp.factor ** (share * share * (3 - 2 * share));
  };
}
