import type { FfmpegJob } from './fluent.ts';

/** Containers a clip may have; playlists and scripts of ffmpeg's own, which open other files, are not among them. */
const containers = 'mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi';

/** A clip as an input: a local file, opened as nothing but a video, never as a list of other files. */
export function clipInput(path: string, options: readonly string[] = []): FfmpegJob['inputs'][number] {
  return {
    options: ['-protocol_whitelist', 'file,pipe', '-format_whitelist', containers, ...options],
    source: `file:${path}`,
  };
}
