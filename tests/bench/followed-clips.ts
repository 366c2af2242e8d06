import { nothingSaid } from '../../shared-lib/contract/review.ts';
import { readFile, rename, writeFile } from 'node:fs/promises';
import type { Truth } from '../../demo-data/truth/schema.ts';
import type { FollowedClip } from '../../electron/desk/calibrated-clip.ts';
import { followClip } from '../../electron/desk/follow-clip.ts';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { trackClip } from '../../electron/tracing/track-clip.ts';
import { toBarPlane } from '../../shared-lib/camera/rectify.ts';
import { discMeasured } from '../../shared-lib/camera/disc-size.ts';

/** A clip's trace as followed once: what does not change when only later stages do. */
type Kept = Omit<FollowedClip, 'plane' | 'calibration'> & { seed: FollowedClip['calibration']['seed'] };

/**
 * Follows a rendered clip without a seed, its disc's diameter known. The trace is kept beside the clip, so that later
 * stages can be measured again and again; `fresh` follows anew.
 */
export async function followedOf(file: string, truth: Truth, fresh = false): Promise<FollowedClip> {
  const keptFile = `${file}.followed.json`;
  const kept = fresh ? null : await readFile(keptFile, 'utf8').catch(() => null);
  if (kept !== null) return rectified(JSON.parse(kept, revive) as Kept, truth);
  const options = { ...nothingSaid, discMm: truth.disc.diameter_m * 1000, facing: truth.facing };
  const job = { signal: new AbortController().signal, onProgress: () => undefined };
  const followed = await followClip({ file, options }, findTools(), job, trackClip);
  const { media, timing, trace, calibration } = followed;
  const keep: Kept = { file, media, timing, trace, seed: calibration.seed };
  await writeFile(`${keptFile}.part`, JSON.stringify(keep, replace));
  await rename(`${keptFile}.part`, keptFile);
  return followed;
}

function rectified(kept: Kept, truth: Truth): FollowedClip {
  const { seed, ...followed } = kept;
  const slowMotion = truth.film.slow_motion;
  const metres = toBarPlane(followed.trace, {
    ...discMeasured(truth.disc.diameter_m * 1000),
    picture: followed.media,
    facing: truth.facing,
    slowMotion,
    slowMotionSource: slowMotion === 1 ? 'none' : 'tag',
    seed,
  });
  return { ...followed, ...metres };
}

/** JSON has no NaN: positions of lost samples are written as a word. */
const replace = (_: string, value: unknown): unknown => (Number.isNaN(value) ? 'NaN' : value);
const revive = (_: string, value: unknown): unknown => (value === 'NaN' ? NaN : value);
