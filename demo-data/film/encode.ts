import { spawn } from 'node:child_process';
import { once } from 'node:events';
import type { FilmSpec } from '../scene/spec.ts';
import { isUneven, tickHz } from './frame-times.ts';

/** Turning applied to displayed frames before they are stored, so that the container's turn sets them upright again. */
const storedTurn = { 0: null, 90: 'transpose=2', 180: 'hflip,vflip', 270: 'transpose=1' } as const;

/** Arguments of ffmpeg for frames that come in on standard input. */
export function encodeArgs(film: FilmSpec, outFile: string): string[] {
  const input = isUneven(film)
    ? ['-f', 'matroska', '-i', 'pipe:0', '-fps_mode', 'passthrough', '-enc_time_base', `1:${tickHz}`]
    : [
        ...['-f', 'rawvideo', '-pix_fmt', 'yuv420p', '-video_size', `${film.widthPx}x${film.heightPx}`],
        ...['-framerate', String(film.fps), '-i', 'pipe:0'],
      ];
  const turn = storedTurn[film.rotationDeg];
  return [
    ...['-hide_banner', '-loglevel', 'error', '-y'],
    ...input,
    ...(turn ? ['-vf', turn] : []),
    ...['-c:v', film.codec, ...qualityArgs(film), '-pix_fmt', 'yuv420p'],
    ...(film.codec === 'libx265' ? ['-x265-params', 'log-level=error', '-tag:v', 'hvc1'] : []),
    ...['-colorspace', 'bt709', '-color_primaries', 'bt709', '-color_trc', 'bt709', '-color_range', 'tv'],
    // The same input makes the same file: no encoder version or date in it.
    ...['-bitexact', '-flags:v', '+bitexact', '-fflags', '+bitexact'],
    ...(outFile.endsWith('.mkv')
      ? []
      : [
          ...['-video_track_timescale', '90000', '-movflags', '+faststart+use_metadata_tags'],
          ...(film.slowMotion === 1
            ? []
            : ['-metadata', `com.android.capture.fps=${(film.fps * film.slowMotion).toFixed(6)}`]),
        ]),
    outFile,
  ];
}

/** How finely the film is coded: without loss, at a rate that is kept to within a second as a phone does, or as finely all along. */
function qualityArgs({ codec, crf, bitsPerPx, preset, widthPx, heightPx, fps }: FilmSpec): string[] {
  if (codec === 'ffv1') return [];
  const speed = codec === 'mpeg4' ? [] : ['-preset', preset];
  if (bitsPerPx !== undefined) {
    const rate = String(Math.round(bitsPerPx * widthPx * heightPx * fps));
    return ['-b:v', rate, '-maxrate', rate, '-bufsize', rate, ...speed];
  }
  return codec === 'mpeg4'
    ? ['-q:v', String(Math.max(1, Math.round(crf / 5)))]
    : ['-crf', String(crf), ...speed];
}

export interface Encoder {
  write(bytes: Uint8Array): Promise<void>;
  /** Resolves when the file is complete. */
  end(): Promise<void>;
  kill(): void;
}

/** Starts ffmpeg from PATH; a frame is handed over when `write` resolves. */
export function startEncoder(film: FilmSpec, outFile: string): Encoder {
  const child = spawn('ffmpeg', encodeArgs(film, outFile), { stdio: ['pipe', 'ignore', 'pipe'] });
  let messages = '';
  child.stderr.on('data', (chunk: Buffer) => (messages += chunk.toString()));
  const done = new Promise<void>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) =>
      code === 0 ? resolve() : reject(new Error(`ffmpeg ended with status ${code}: ${messages.trim()}`)),
    );
  });
  // A broken pipe is told by the status.
  child.stdin.on('error', () => undefined);
  done.catch(() => undefined);
  return {
    async write(bytes) {
      if (!child.stdin.write(bytes)) await Promise.race([once(child.stdin, 'drain'), done]);
    },
    async end() {
      child.stdin.end();
      await done;
    },
    kill: () => void child.kill('SIGKILL'),
  };
}
