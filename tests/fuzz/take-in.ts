import path from 'node:path';
import { clipTimes } from '../../electron/media/clip-times.ts';
import { makeStills } from '../../electron/media/stills.ts';
import { probeClip } from '../../electron/media/probe.ts';
import type { MediaTools } from '../../electron/media/find-ffmpeg.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';

export interface Taken {
  /** `used`, or the kind of Failure, or `fault` for anything that is no sentence to the user. */
  end: string;
  what: string;
  tookMs: number;
}

/** Does with a file what bringing a clip in does: probe, all frame times, the first and last picture. */
export async function takeIn(file: string, tools: MediaTools, work: string): Promise<Taken> {
  const startedMs = performance.now();
  const end = await look(file, tools, work).then(
    (frames) => ({ end: 'used', what: `${frames} frames` }),
    (error: unknown) => {
      if (!(error instanceof Failure)) return { end: 'fault', what: String(error) };
      const isSentence = /^\S[^\n]*\.$/.test(error.what) && /^\S[^\n]*\.$/.test(error.advice);
      return isSentence
        ? { end: error.kind, what: error.what }
        : { end: 'fault', what: `no sentence: ${error.what}` };
    },
  );
  return { ...end, tookMs: performance.now() - startedMs };
}

async function look(file: string, tools: MediaTools, work: string): Promise<number> {
  const media = await probeClip(file, tools);
  const ptsS = await clipTimes(file, media, tools.ffmpeg);
  const { widthPx, heightPx, transfer } = media;
  const frames = [0, ptsS.length - 1];
  await makeStills(
    { path: file, ptsS, widthPx, heightPx, transfer },
    frames.map((frame, i) => ({ frame, file: path.join(work, `${i}.jpg`) })),
    { ffmpeg: tools.ffmpeg, widthPx: 64 },
  );
  return ptsS.length;
}
