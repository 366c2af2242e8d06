import { nothingSaid } from '../../shared-lib/contract/review.ts';
import type { Truth } from '../../demo-data/truth/schema.ts';
import { repsOfClip } from '../../electron/desk/clip-reps.ts';
import { followClip } from '../../electron/desk/follow-clip.ts';
import { discQuestion } from '../../shared-lib/trace/disc-question.ts';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { trackClip } from '../../electron/tracing/track-clip.ts';
import { scoreBound, type BoundScore } from './score-bound.ts';
import { scoreCheck, type CheckScore } from './score-check.ts';
import { scorePath, scoreTrace, type PathScore, type TraceScore } from './score-path.ts';
import { scoreReps, type RepsScore } from './score-reps.ts';

/** How far the measuring of one clip is from its truth. Figures are NaN, or lists empty, where there is nothing to compare. */
export interface ClipScore extends TraceScore, PathScore, RepsScore, CheckScore {
  /** Lengths on the bar's path against true ones, percent. */
  scalePct: number;
  /** A person is asked whether the right disc is followed. */
  asked: boolean;
  /** What is left of the reps' errors with true positions and the clip's own noise. */
  bound: BoundScore;
}

/** Follows and measures a rendered clip without a seed, its disc's diameter known, and compares the result with its truth. */
export async function scoreClip(file: string, truth: Truth): Promise<ClipScore> {
  const options = { ...nothingSaid, discMm: truth.disc.diameter_m * 1000, facing: truth.facing };
  const job = { signal: new AbortController().signal, onProgress: () => undefined };
  const followed = await followClip({ file, options }, findTools(), job, trackClip);
  const clip = repsOfClip(followed, truth.lift);
  const path = scorePath(clip, truth);
  return {
    ...scoreTrace(followed.trace, truth),
    ...path,
    scalePct: 100 * (path.sizeRatio - 1),
    asked: discQuestion(clip.clipFile) !== null,
    ...scoreReps(clip, followed.plane, truth, path.sizeRatio),
    bound: scoreBound(clip, truth),
    ...scoreCheck(clip.clipFile, truth),
  };
}
