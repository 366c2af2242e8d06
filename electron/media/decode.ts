import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { decodeArguments, type KeyFramesOnly, type Stretch } from './arguments.ts';
import { openDirectPipe } from './direct-pipe.ts';
import { explainError } from './explain.ts';
import { clipLimits, readerOptions, tooLong } from './limits.ts';
import { fittedSize } from './orientation.ts';
import { PictureIntake } from './picture-intake.ts';
import { ChildError, startChild, type Child } from './process.ts';
import { showinfoReader } from './showinfo.ts';

export interface DecodedFrame {
  /** Ordinal in this pass, in order of display, from 0. */
  frame: number;
  /** The frame's own presentation time stamp, seconds of file time. */
  ptsS: number;
  /** Luma of the displayed picture: turned, square pixels, scaled when asked; range as in the file. */
  image: GreyImage;
}

export interface DecodeOptions extends Stretch {
  ffmpeg: string;
  /** Size of the picture as displayed, pixels, as probed. */
  width: number;
  height: number;
  /** Bits per sample as probed; what is above 8 is brought to 8 by leaving out the lowest. */
  bitDepth: number;
  /** Pictures whose longer side is longer are scaled down to it. Column x of the clip is column (x + 0.5) w / width - 0.5. */
  maxSidePx?: number | undefined;
  /** Of the decoder; as many as it likes where absent. */
  threads?: number | undefined;
  /** One sigma of a Gaussian that the pictures are blurred with, pixels; none where absent or 0. */
  softeningPx?: number | undefined;
  /** Only frames that decode by themselves: a seventh of the time, for a first look. */
  keyFramesOnly?: KeyFramesOnly | undefined;
  /** `ringSize` buffers of the picture's bytes or more to decode into; only one pass at a time may use them. */
  ring?: readonly Uint8Array[] | undefined;
  signal?: AbortSignal | undefined;
}

/** Pictures that stay valid at once: the one just yielded and the three before it. */
export const ringSize = 4;

/**
 * Decodes a clip, or a stretch of it, once and forward.
 *
 * Pictures come from a ring of `ringSize` buffers or more: the one yielded now may be overwritten when the fourth after
 * it is yielded. Copy what must live longer. Nothing is decoded ahead of the reader beyond what the pipe holds.
 * Leaving the loop early ends ffmpeg.
 *
 * @throws Failure 'unusableFile' when no frame can be decoded, or only one of a whole clip, or too
 *   many, or none for too long;
 *   Failure 'stopped' when the signal was raised; ChildError when ffmpeg was killed from outside
 */
export async function* decodeFrames(
  file: string,
  options: DecodeOptions,
): AsyncGenerator<DecodedFrame, void, undefined> {
  const { ffmpeg, signal, bitDepth, keyFramesOnly, threads, softeningPx, fromS, toS, seekS } = options;
  const { widthPx, heightPx } = fittedSize(options.width, options.height, options.maxSidePx);
  const args = decodeArguments(file, {
    ...{ widthPx, heightPx, bitDepth, keyFramesOnly, threads, softeningPx },
    ...{ fromS, toS, seekS },
  });

  const ring = options.ring ?? Array.from({ length: ringSize }, () => new Uint8Array(widthPx * heightPx));
  const intake = new PictureIntake(widthPx, heightPx, ring);
  const pipe = await openDirectPipe(intake.room, intake.came);
  const times = new TimeQueue();
  const showinfo = showinfoReader();
  let child: Child | null = null;
  let frame = 0;
  try {
    child = startChild(ffmpeg, args, {
      ...readerOptions,
      signal,
      stdout: pipe ?? undefined,
      onErrorLine(line) {
        const ptsS = showinfo.push(line);
        if (ptsS !== null) times.push(ptsS);
      },
    });
    void child.ended.then(times.close, times.close);
    const pictures = pipe ? intake.pictures(pipe.reader) : intake.cut(child.stdout);
    for await (const image of pictures) {
      const ptsS = await times.next();
      if (ptsS === undefined) break;
      if (Number.isNaN(ptsS)) throw withoutTimes(file);
      if (frame === clipLimits.frames) throw tooLong(file);
      yield { frame, ptsS, image };
      frame += 1;
    }
    await child.ended.catch((error: unknown) => {
      if (endsTheClip(error, frame)) return;
      throw explainError(file, error);
    });
    const whole = !keyFramesOnly && fromS === undefined && toS === undefined;
    if (frame === 0 || (frame === 1 && whole)) throw tooFewFrames(file, frame, whole);
  } finally {
    child?.kill();
    pipe?.writer.destroy();
    pipe?.reader.destroy();
  }
}

/**
 * A damaged clip can end ffmpeg with a status of its own after many good frames. Those stand; that they are
 * fewer than declared shows in the clip's timing.
 */
function endsTheClip(error: unknown, frames: number): boolean {
  return error instanceof ChildError && error.exitCode !== null && frames > 0;
}

/** Frame times in order; a picture can arrive before the line that tells its time. */
class TimeQueue {
  private readonly times: number[] = [];
  private wake: (() => void) | null = null;
  private closed = false;

  push(ptsS: number): void {
    this.times.push(ptsS);
    this.wake?.();
  }

  readonly close = (): void => {
    this.closed = true;
    this.wake?.();
  };

  /** The next frame's time; undefined when there is none to come. */
  async next(): Promise<number | undefined> {
    while (this.times.length === 0 && !this.closed) {
      await new Promise<void>((resolve) => (this.wake = resolve));
    }
    return this.times.shift();
  }
}

function withoutTimes(file: string): Failure {
  return new Failure(
    'unusableFile',
    `${path.basename(file)} holds pictures without time stamps.`,
    'Export the clip again as MP4 and bring that in.',
  );
}

function tooFewFrames(file: string, frames: number, whole: boolean): Failure {
  if (!whole) {
    return new Failure(
      'unusableFile',
      `${path.basename(file)} has no picture in the stretch asked for.`,
      'Choose a stretch inside the clip.',
    );
  }
  const what = frames === 0 ? 'no picture of it can be decoded' : 'it holds a single picture';
  return new Failure(
    'unusableFile',
    `${path.basename(file)} is no clip: ${what}.`,
    'Bring in a video of the whole lift.',
  );
}
