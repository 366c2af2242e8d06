import { spawnSync } from 'node:child_process';
import { makeSensor } from '../../../demo-data/film/sensor.ts';
import { makePainter } from '../../../demo-data/paint/frame.ts';
import { bytePlanes } from '../../../demo-data/film/yuv.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';

/** Paints single pictures of a scene in colour, as PNG. */
export function stillPainter(spec: SceneSpec): (tS: number) => Buffer {
  const { widthPx, heightPx } = spec.film;
  const bytes = new Uint8Array((widthPx * heightPx * 3) / 2);
  const sensed = bytePlanes(bytes, widthPx, heightPx);
  const painter = makePainter(spec);
  const sense = makeSensor(spec.film, spec.seed);
  return (tS) => {
    sense(painter.paint(tS), sensed);
    const { status, stdout, stderr } = spawnSync(
      'ffmpeg',
      [
        ...['-v', 'error', '-f', 'rawvideo', '-pix_fmt', 'yuv420p', '-s', `${widthPx}x${heightPx}`],
        ...['-colorspace', 'bt709', '-color_range', 'tv', '-i', 'pipe:0'],
        ...['-f', 'image2pipe', '-c:v', 'png', 'pipe:1'],
      ],
      { input: bytes, maxBuffer: 1 << 28 },
    );
    if (status !== 0) throw new Error(stderr.toString());
    return stdout;
  };
}
