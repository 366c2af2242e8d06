import { mkdir, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { drawScene } from '../../../demo-data/draw-scene.ts';
import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { runChild } from '../../../electron/media/process.ts';

/** A clip to be timed; all of them are made from one rendered squat, shown over and over. */
export interface SpeedClip {
  name: string;
  about: string;
  seconds: number;
  fps: number;
  /** Arguments of ffmpeg after the input, besides the length. */
  encode: readonly string[];
  /** So many showings are encoded and the stream is repeated: where only time counts that is the same, and sooner made. */
  showings?: number;
  /** The squat is shown once and not over and over. */
  once?: boolean;
}

const h264 = ['-c:v', 'libx264', '-preset', 'fast', '-pix_fmt', 'yuv420p'];
const phone = [...h264, '-b:v', '12M', '-maxrate', '14M', '-bufsize', '12M', '-g', '60'];
const hevc10 = ['-c:v', 'libx265', '-preset', 'ultrafast', '-x265-params', 'log-level=error'];

export const ordinary = (seconds: number): SpeedClip => ({
  name: `h264-1080p60-${seconds}s`,
  about: '1080p60 H.264 at 12 Mb/s',
  seconds,
  fps: 60,
  encode: phone,
  ...(seconds > 60 ? { showings: 4 } : {}),
});

/** Of the same kind as the ordinary ones, and another film. */
export const another: SpeedClip = {
  ...ordinary(10),
  name: 'h264-1080p60-10s-another',
  encode: ['-vf', 'noise=alls=3:allf=t', ...phone],
};

export const hevc4k: SpeedClip = {
  name: 'hevc-2160p30-10bit-10s',
  about: '4K30 HEVC, 10 bit',
  seconds: 10,
  fps: 30,
  encode: [
    '-vf',
    'fps=30,scale=3840:2160:flags=bicubic,noise=alls=6:allf=t',
    ...hevc10,
    ...['-pix_fmt', 'yuv420p10le', '-b:v', '30M', '-g', '30'],
  ],
  showings: 1,
};

export const fast240: SpeedClip = {
  name: 'h264-1080p240-5s',
  about: '1080p H.264 at 240 frames a second',
  seconds: 5,
  fps: 240,
  // Each picture four times with fresh grain: motion comes in steps, the work is that of 240 frames a second.
  encode: ['-vf', 'fps=240,noise=alls=4:allf=t', ...h264, '-b:v', '30M', '-g', '240'],
};

export const mostlyStill: SpeedClip = {
  name: 'h264-1080p60-still-30s',
  about: 'the same, a squat of 5 s and nothing else',
  seconds: 30,
  fps: 60,
  encode: ['-vf', 'tpad=12:-1:start_mode=clone:stop_mode=clone,noise=alls=2:allf=t', ...phone],
  once: true,
};

/** A squat that begins and ends standing, so that it can be shown over and over. */
const scene = drawScene(901, {
  lift: 'squat',
  facing: 'right',
  camera: { shakePx: 1 },
  plan: { leadS: 0.5, settleS: 0.8, holdS: 0.8, tailS: 0.4 },
  reps: [{ driftLockoutM: 0 }],
  film: { widthPx: 1920, heightPx: 1080, fps: 60, crf: 18, grain: 2 },
});

/** The clip from the cache, made when it is not there yet. @returns its file and the truth of its first rep */
export async function speedClip(
  ffmpeg: string,
  cache: string,
  clip: SpeedClip,
): Promise<{ file: string; truth: Truth }> {
  const { clip: source, truth } = await cachedClip('speed', scene, cache);
  const key = path.basename(source, '.mp4');
  const file = path.join(cache, `${clip.name}-${key}.mp4`);
  const isThere = await stat(file).then(
    () => true,
    () => false,
  );
  if (isThere) return { file, truth };
  await mkdir(cache, { recursive: true });
  const write = async (from: string, seconds: number, rest: readonly string[], to: string): Promise<void> => {
    const over = clip.once ? [] : ['-stream_loop', '-1'];
    const input = ['-y', '-v', 'error', ...over, '-i', from, '-t', String(seconds)];
    await runChild(ffmpeg, [...input, ...rest, '-an', '-f', 'mp4', to]);
  };
  const partial = `${file}.partial`;
  const stretch = `${file}.stretch`;
  if (clip.showings) {
    const showingS = truth.frames.length / scene.film.fps;
    await write(source, clip.showings * showingS, clip.encode, stretch);
    await write(stretch, clip.seconds, ['-c', 'copy'], partial);
    await rm(stretch);
  } else await write(source, clip.seconds, clip.encode, partial);
  await rename(partial, file);
  return { file, truth };
}
