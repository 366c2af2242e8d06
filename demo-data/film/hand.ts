import type { Turn } from '../scene/camera.ts';
import { randomOf } from '../scene/random.ts';

/**
 * Turning of a hand-held camera: slow drift and tremor, sums of waves with random phases whose strength falls with
 * frequency (common practice). `rmsPx` is the RMS movement of the picture's centre along each axis.
 */
export function handOf(rmsPx: number, focalPx: number, seed: number): (tS: number) => Turn {
  if (rmsPx === 0) return () => ({ panRad: 0, tiltRad: 0, rollRad: 0 });
  const random = randomOf(seed ^ 0xa11d);
  const axis = () => {
    const waves = [0.23, 0.41, 0.77, 1.3, 2.1, 3.7, 6.1].map((hz) => ({
      omega: 2 * Math.PI * hz * random.uniform(0.85, 1.15),
      phase: random.uniform(0, 2 * Math.PI),
      size: hz ** -0.8,
    }));
    const rms = Math.sqrt(waves.reduce((sum, w) => sum + (w.size * w.size) / 2, 0));
    return (tS: number) => waves.reduce((sum, w) => sum + w.size * Math.sin(w.omega * tS + w.phase), 0) / rms;
  };
  const [pan, tilt, roll] = [axis(), axis(), axis()];
  const k = rmsPx / focalPx;
  return (tS) => ({ panRad: k * pan(tS), tiltRad: k * tilt(tS), rollRad: 0.8 * k * roll(tS) });
}
