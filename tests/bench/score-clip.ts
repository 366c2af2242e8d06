import { repsOfClip, followClip } from '../../electron/desk/follow-clip.ts';
import { trackClip } from '../../electron/tracing/track-clip.ts';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import type { Truth } from '../../demo-data/truth/schema.ts';
import { residualCutoffHz } from '../../shared-lib/motion/residual-analysis.ts';
import { measureRep } from '../../shared-lib/rep/measures.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';

/** How far the measuring of one clip is from its truth. Errors are NaN where there is nothing to compare. */
export interface ClipScore {
  repsFound: number;
  repsTrue: number;
  /** The smoothed path from the first rep's start, over all frames that are not lost: millimetres. */
  rmsMm: number;
  worstMm: number;
  seenShare: number;
  /** Rim's size against the true one, percent. */
  scalePct: number;
  /** Largest errors over the clip's reps. */
  meanDrivePct: number;
  peakDrivePct: number;
  startMs: number;
  bottomMs: number;
  driveStartMs: number;
  lockoutMs: number;
  slowestMps: number;
}

/** Follows and measures a rendered clip without a seed and compares the result with its truth. */
export async function scoreClip(file: string, truth: Truth): Promise<ClipScore> {
  const options = {
    seed: null,
    discMm: truth.disc.diameter_m * 1000,
    plumb: null,
    slowMotion: null,
    facing: truth.facing,
  };
  const job = { signal: new AbortController().signal, onProgress: () => undefined };
  const followed = await followClip({ file, options }, findTools(), job, trackClip);
  const { smoothed, reps, measured } = repsOfClip(followed, truth.lift, residualCutoffHz(followed.plane));
  const { originXM, originYM } = repFrame(smoothed.motion, reps[0].events, truth.lift, smoothed.restNoise);
  const off: number[] = [];
  truth.frames.forEach((frame, i) => {
    const d = Math.hypot(
      smoothed.frame.xM[i] - originXM - frame.x_m,
      smoothed.frame.yM[i] - originYM - frame.y_m,
    );
    if (Number.isFinite(d)) off.push(1000 * d);
  });
  const { samples } = followed.trace;
  const worstOf = (error: (k: number) => number): number =>
    reps.length === truth.reps.length
      ? Math.max(...reps.map((_, k) => error(k)).filter(Number.isFinite), -Infinity)
      : NaN;
  const values = reps.map(({ events }) =>
    measureRep(smoothed.motion, events, truth.lift, smoothed.restNoise),
  );
  const relative = (name: 'mean_drive_mps' | 'peak_drive_mps') => (k: number) =>
    100 * Math.abs((values[k][name] ?? NaN) / (truth.reps[k].measures[name] ?? NaN) - 1);
  const apart = (got: number | null, real: number | null | undefined): number =>
    got === null || real === null || real === undefined ? NaN : 1000 * Math.abs(got - real);
  return {
    repsFound: reps.length,
    repsTrue: truth.reps.length,
    rmsMm: Math.sqrt(off.reduce((s, d) => s + d * d, 0) / off.length),
    worstMm: Math.max(...off),
    seenShare: samples.filter((s) => s.state === 'seen').length / samples.length,
    scalePct: 100 * (measured.calibration.metresPerPx / truth.disc.metres_per_px - 1),
    meanDrivePct: worstOf(relative('mean_drive_mps')),
    peakDrivePct: worstOf(relative('peak_drive_mps')),
    startMs: worstOf((k) => apart(reps[k].events.startS, truth.reps[k].start_s)),
    bottomMs: worstOf((k) => apart(reps[k].events.bottomS, truth.reps[k].bottom_s)),
    driveStartMs: worstOf((k) => apart(reps[k].events.driveStartS, truth.reps[k].drive_start_s)),
    lockoutMs: worstOf((k) => apart(reps[k].events.lockoutS, truth.reps[k].lockout_s)),
    slowestMps: worstOf((k) =>
      Math.abs((values[k].slowest_mps ?? NaN) - (truth.reps[k].measures.slowest_mps ?? NaN)),
    ),
  };
}
