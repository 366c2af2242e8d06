import { noTurn, type Turn } from '../scene/camera.ts';
import { randomOf, type Random } from '../scene/random.ts';
import type { CameraSpec } from '../scene/spec.ts';

/** One axis of a hand's movement with an RMS of 1: a sum of waves with random phases. */
function tremor(random: Random): (tS: number) => number {
  const waves = [0.23, 0.41, 0.77, 1.3, 2.1, 3.7, 6.1].map((hz) => ({
    omega: 2 * Math.PI * hz * random.uniform(0.85, 1.15),
    phase: random.uniform(0, 2 * Math.PI),
    size: hz ** -0.8,
  }));
  const rms = Math.sqrt(waves.reduce((sum, w) => sum + (w.size * w.size) / 2, 0));
  return (tS) => waves.reduce((sum, w) => sum + w.size * Math.sin(w.omega * tS + w.phase), 0) / rms;
}

const smooth = (s: number): number => {
  const k = Math.min(Math.max(s, 0), 1);
  return k * k * k * (10 + k * (6 * k - 15));
};

export const movesAtAll = (camera: CameraSpec): boolean =>
  camera.shakePx > 0 || camera.sweepPanRad !== 0 || camera.sweepTiltRad !== 0 || camera.zoomDrift > 0;

/**
 * How a camera turns and zooms over a clip. A hand drifts slowly and trembles, with a strength that falls with frequency
 * (common practice); `shakePx` is the RMS movement of the picture's centre along each axis. A sweep eases in and out
 * over the clip. The focal length drifts as a slow wave.
 */
export function handOf(camera: CameraSpec, durationS: number, seed: number): (tS: number) => Turn {
  if (!movesAtAll(camera)) return () => noTurn;
  const random = randomOf(seed ^ 0xa11d);
  const [pan, tilt, roll] = [tremor(random), tremor(random), tremor(random)];
  const zoomOmega = (2 * Math.PI) / random.uniform(5, 9);
  const zoomPhase = random.uniform(0, 2 * Math.PI);
  const k = camera.shakePx / camera.focalPx;
  return (tS) => {
    const sweep = smooth(tS / durationS) - 0.5;
    return {
      panRad: k * pan(tS) + sweep * camera.sweepPanRad,
      tiltRad: k * tilt(tS) + sweep * camera.sweepTiltRad,
      rollRad: 0.8 * k * roll(tS),
      zoom: 1 + camera.zoomDrift * Math.sin(zoomOmega * tS + zoomPhase),
    };
  };
}
