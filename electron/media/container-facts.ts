import type { Turn } from './orientation.ts';

/** What a container says of its first video stream, as one reader reads it: sizes as stored. */
export interface ContainerFacts {
  /** "mp4", "mov", "matroska", "webm" or "avi". */
  container: string;
  /** By ffmpeg's names: "h264", "hevc", "vp9", "av1", "mjpeg", ... */
  codec: string;
  bitDepth: number;
  storedWidthPx: number;
  storedHeightPx: number;
  /** Width over height of a stored pixel. */
  pixelAspect: number;
  /** Clockwise turn for display. */
  turn: Turn;
  /** By ffmpeg's names; null when untagged. */
  transfer: string | null;
  hasAudio: boolean;
  /** Frames to be displayed, those cut off by an edit list left out; null where the container has no count. */
  declaredFrames: number | null;
  /** From the first frame displayed to the end of the last, seconds. */
  durationS: number;
  nominalFps: number;
  captureFps: number | null;
}

/** The tag in which Android phones keep the capture rate of a slow-motion clip, frames per second. */
export const captureFpsTag = 'com.android.capture.fps';

/** The capture rate from a tag's text, number or raw big-endian float32; null for anything that is no rate. */
export function captureFpsOf(tag: unknown): number | null {
  const value =
    tag instanceof Uint8Array && tag.length === 4
      ? new DataView(tag.buffer, tag.byteOffset, 4).getFloat32(0)
      : Number.parseFloat(String(tag));
  return Number.isFinite(value) && value > 0 ? value : null;
}
