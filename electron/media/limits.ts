import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';

/**
 * What a clip may ask of this machine. A file says itself how large and how long it is, so a small one can ask for
 * anything; phones and cameras stay far below all of these (8K is 33 million pixels, 240 pictures a second for
 * ten minutes are 144 000).
 */
export const clipLimits = {
  /** Of one picture, stored or displayed. */
  pixels: 40_000_000,
  sidePx: 16_384,
  frames: 216_000,
  durationS: 3 * 3600,
  streams: 32,
} as const;

/** What ffmpeg and ffprobe may take, in whichever job. */
export const programLimits = {
  /** One block of memory: a picture at the limit, four planes of 16 bits, fits. */
  allocBytes: 512 * 2 ** 20,
  /** Address space of a program that only reads. */
  addressBytes: 8 * 2 ** 30,
  /** A file written by a program that only reads: none but a few lines of its own. */
  readerFileBytes: 64 * 2 ** 10,
  /** A file written by a program that makes films or stills. */
  fileBytes: 4 * 2 ** 30,
  /** Processor time of a film or a pass of stills. */
  cpuS: 3600,
  /** Without a word or a picture while somebody waits for one. */
  quietMs: 60_000,
  /** What is read of the report on a file, characters. */
  reportLength: 16 * 2 ** 20,
} as const;

/** What a decoder's threads may hold in pictures, bytes; as many as ffmpeg takes at most when left alone (MAX_AUTO_THREADS of libavcodec, from memory); and how many there are for each core. */
const threadsBytes = 100e6;
const mostThreads = 16;
const threadsOfCore = 3;

/**
 * How many threads decode a clip, each of which holds a picture. Left alone a decoder has one more than there are cores, and these wait
 * for each other and for whoever reads: of 30 s of 1080p at 60 pictures a second, read as fast as they come on two cores, six took
 * 6.5 s in place of 7.0; 10 s of 4K of 10 bit were followed in 13.7 s with four in place of 14.5 with two, and held 600 MB in place of 510.
 */
export function decoderThreads(
  { widthPx, heightPx, bitDepth }: { widthPx: number; heightPx: number; bitDepth: number },
  cores: number,
): number {
  // Colour is stored at half the width and half the height.
  const pictureBytes = widthPx * heightPx * 1.5 * (bitDepth > 8 ? 2 : 1);
  return Math.max(1, Math.min(mostThreads, threadsOfCore * cores, Math.floor(threadsBytes / pictureBytes)));
}

/** How ffmpeg and ffprobe run when they only read. */
export const readerOptions = {
  limits: { addressBytes: programLimits.addressBytes, fileBytes: programLimits.readerFileBytes },
  quietMs: programLimits.quietMs,
} as const;

/**
 * Whether what a container says of its first video stream is within what can be taken on.
 * @throws Failure 'unusableFile' with the limit that it exceeds
 */
export function assertWithinLimits(
  file: string,
  clip: { widthPx: number; heightPx: number; declaredFrames: number | null; durationS: number },
): void {
  const { widthPx, heightPx, declaredFrames, durationS } = clip;
  const name = path.basename(file);
  if (widthPx * heightPx > clipLimits.pixels || Math.max(widthPx, heightPx) > clipLimits.sidePx) {
    throw new Failure(
      'unusableFile',
      `${name} says that its pictures are ${widthPx} x ${heightPx} pixels, more than Lockstep takes on.`,
      'Export it at 8K (7680 x 4320) or smaller, and bring that in.',
    );
  }
  if ((declaredFrames ?? 0) > clipLimits.frames || durationS > clipLimits.durationS) throw tooLong(file);
}

/** What to say of a clip with more pictures than Lockstep takes on. */
export function tooLong(file: string): Failure {
  return new Failure(
    'unusableFile',
    `${path.basename(file)} is longer than Lockstep takes on: ${clipLimits.frames} pictures or ${clipLimits.durationS / 3600} hours.`,
    'Cut it to the set that you want to look at, and bring that in.',
  );
}
