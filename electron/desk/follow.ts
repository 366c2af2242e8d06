import type { Lift } from '../../shared-lib/contract/lift.ts';
import { findTools } from '../media/find-ffmpeg.ts';
import { endTracing } from '../tracing/track-in-worker.ts';
import { clipFiles, repEntries, writeClipFiles } from './clip-outputs.ts';
import { repsOfClip, type RepsOfClip } from './clip-reps.ts';
import { followClip, type ClipRequest, type Job } from './follow-clip.ts';
import { parts } from './jobs.ts';
import { OutputFolder } from './output-folder.ts';

export interface FollowRequest {
  clip: ClipRequest;
  lift: Lift;
  out: string;
}

/** Follows the bar in one clip and writes what was found. */
export async function follow(request: FollowRequest, job: Job): Promise<RepsOfClip> {
  const tools = findTools();
  const out = await OutputFolder.open(request.out, clipFiles);
  try {
    const { following, measuring } = parts(job, { following: 0.8, measuring: 0.2 });
    const followed = await followClip(request.clip, tools, following);
    endTracing();
    const clip = repsOfClip(followed, request.lift);
    await writeClipFiles(out, clip, await repEntries(clip, measuring), measuring);
    await out.commit();
    return clip;
  } catch (error) {
    await out.discard();
    throw error;
  }
}
