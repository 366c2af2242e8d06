import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** A lift whose every frame has its own number painted on the wall above the bar, eight blocks, lowest bit first. */
export const paintedSize = { widthPx: 480, heightPx: 270 };
const bits = 8;
const block = { left: 156, top: 48, width: 18, height: 14 };
const luma = paintedSize.widthPx * paintedSize.heightPx;
const bytesPerFrame = (luma * 3) / 2;

/** Middle of each bit's block as displayed, pixels. */
export const bitCentres = Array.from({ length: bits }, (_, bit) => ({
  xPx: block.left + (bit + 0.5) * block.width - 0.5,
  yPx: block.top + block.height / 2 - 0.5,
}));

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));
const from = 50;
const count = 190;

/** The demo's practice rep from before it to after it, small: pictures as luma and chroma, and the disc's height in each. */
export function liftFrames(ffmpeg: string): { pictures: Buffer[]; yPx: number[] } {
  const raw = execFileSync(
    ffmpeg,
    [
      ...['-v', 'error', '-i', demo('bench-practice.mp4')],
      ...[
        '-vf',
        `trim=start_frame=${from}:end_frame=${from + count},scale=480:270:flags=area,format=yuv420p`,
      ],
      ...['-f', 'rawvideo', '-fps_mode', 'passthrough', '-'],
    ],
    { maxBuffer: 1 << 28 },
  );
  const truth = JSON.parse(readFileSync(demo('bench-practice.truth.json'), 'utf8')) as {
    frames: { py: number }[];
  };
  return {
    pictures: Array.from({ length: count }, (_, i) =>
      raw.subarray(i * bytesPerFrame, (i + 1) * bytesPerFrame),
    ),
    yPx: truth.frames.slice(from, from + count).map(({ py }) => ((py + 0.5) * 270) / 720 - 0.5),
  };
}

function painted(picture: Buffer, code: number): Buffer {
  const copy = Buffer.from(picture);
  for (let bit = 0; bit < bits; bit++) {
    for (let y = block.top; y < block.top + block.height; y++) {
      const at = y * paintedSize.widthPx + block.left + bit * block.width;
      copy.fill((code >> bit) & 1 ? 225 : 25, at, at + block.width);
    }
  }
  // The wall's own colour would tint the blocks.
  const half = paintedSize.widthPx / 2;
  for (const plane of [luma, (luma * 5) / 4]) {
    for (let y = block.top / 2; y < (block.top + block.height) / 2; y++) {
      const at = plane + y * half + block.left / 2;
      copy.fill(128, at, at + (bits * block.width) / 2);
    }
  }
  return copy;
}

/**
 * Writes a clip of these pictures, the first numbered 0.
 *
 * @param options what stands between the pictures and the file: filters and an encoder
 */
export function writePainted(
  ffmpeg: string,
  file: string,
  pictures: readonly Buffer[],
  options: readonly string[],
): void {
  const { widthPx, heightPx } = paintedSize;
  execFileSync(
    ffmpeg,
    [
      ...['-v', 'error', '-y', '-f', 'rawvideo', '-pix_fmt', 'yuv420p', '-s', `${widthPx}x${heightPx}`],
      ...['-r', '30', '-i', '-', ...options, file],
    ],
    { input: Buffer.concat(pictures.map((picture, i) => painted(picture, i))) },
  );
}
