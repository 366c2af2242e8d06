import { deviation, max } from 'd3-array';
import type { Truth } from '../../demo-data/truth/schema.ts';
import type { ClipFile, Verdict } from '../../shared-lib/contract/clip.ts';

/** What the clip check says against the scene. */
export interface CheckScore {
  /** Angle off square without its side, degrees: shown minus true. */
  offSquareDeg: number;
  /** Degrees, shown minus true, and where the shown one comes from. */
  rollDeg: number;
  plumb: string;
  /** Shown shake and smear with their true values, pixels; null where none is shown. */
  shakePx: { shown: number; real: number };
  blurPx: { shown: number | null; real: number };
  verdicts: Record<'drift' | 'vertical' | 'velocity' | 'tempo', Verdict>;
}

const deg = 180 / Math.PI;

export function scoreCheck({ check, calibration }: ClipFile, truth: Truth): CheckScore {
  return {
    offSquareDeg: Math.abs(check.offSquareDeg) - deg * Math.abs(truth.camera.off_square_rad),
    rollDeg: check.rollDeg - deg * truth.camera.roll_rad,
    plumb: calibration.plumb,
    shakePx: { shown: check.shakePx, real: trueShakePx(truth) },
    blurPx: { shown: check.blurPx, real: trueBlurPx(truth) },
    verdicts: check.verdicts,
  };
}

/** RMS distance of the picture's centre from its own mean place as the camera turns. */
function trueShakePx({ camera, frames }: Truth): number {
  const pan = deviation(frames, (f) => f.pan_rad) ?? 0;
  const tilt = deviation(frames, (f) => f.tilt_rad) ?? 0;
  return camera.focal_px * Math.hypot(pan, tilt);
}

/** Width of the smear at the bar's greatest speed within the reps. */
function trueBlurPx({ film, frames, reps, disc }: Truth): number {
  const exposureS = film.shutter / (film.fps * film.slow_motion);
  const from = reps[0].start_s;
  const to = reps[reps.length - 1].lockout_s ?? Infinity;
  const peak = max(frames.slice(1), (f, i) => {
    const before = frames[i];
    const dt = f.t_s - before.t_s;
    if (f.t_s < from || f.t_s > to || dt <= 0) return 0;
    return Math.hypot(f.x_m - before.x_m, f.y_m - before.y_m) / dt;
  });
  return ((peak ?? 0) * exposureS) / disc.metres_per_px;
}
