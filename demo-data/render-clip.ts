import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, extname, join } from 'node:path';
import { startEncoder } from './film/encode.ts';
import { frameTimes, isUneven } from './film/frame-times.ts';
import { lightOf } from './film/light.ts';
import { matroskaFrame, matroskaHead } from './film/matroska.ts';
import { phoneLook } from './film/phone.ts';
import { makeSensor } from './film/sensor.ts';
import { tagTurn } from './film/turn-tag.ts';
import { motionOf } from './motion/bar-motion.ts';
import { makePainter } from './paint/frame.ts';
import { shotOf } from './scene/shot.ts';
import { bytePlanes } from './film/yuv.ts';
import type { SceneSpec } from './scene/spec.ts';
import type { Truth } from './truth/schema.ts';
import { truthOf, type FrameMoment } from './truth/truth.ts';

export interface RenderOptions {
  signal?: AbortSignal;
  /** Share done, 0 to 1. */
  onProgress?: (share: number) => void;
}

/** Where the truth of a clip stands: beside it, with `.truth.json` for its ending. */
export const truthFile = (clip: string): string =>
  join(dirname(clip), `${basename(clip, extname(clip))}.truth.json`);

/** Moments of all frames of a clip. */
export function momentsOf(spec: SceneSpec): FrameMoment[] {
  const { slowMotion } = spec.film;
  const durationS = motionOf(spec).durationS * slowMotion;
  return frameTimes(spec.film, durationS, spec.seed).map(({ ptsS, takenS }) => ({
    ptsS,
    tS: ptsS / slowMotion,
    takenS: takenS / slowMotion,
  }));
}

/** Films the scene into `outFile` and writes its truth beside it; nothing half-written stays behind. */
export async function renderClip(
  spec: SceneSpec,
  outFile: string,
  options: RenderOptions = {},
): Promise<Truth> {
  await mkdir(dirname(outFile), { recursive: true });
  const moments = momentsOf(spec);
  const truth = truthOf(spec, basename(outFile), moments);
  const partFile = join(dirname(outFile), `.part-${process.pid}-${basename(outFile)}`);
  const { widthPx, heightPx, rotationDeg } = spec.film;
  const bytes = new Uint8Array((widthPx * heightPx * 3) / 2);
  const sensed = bytePlanes(bytes, widthPx, heightPx);
  const painter = makePainter(spec);
  const sense = makeSensor(spec.film, spec.seed);
  const light = lightOf(spec.film);
  const look = phoneLook(spec.film);
  const { rowDelayS } = shotOf(spec);
  const encoder = startEncoder(spec.film, partFile);
  const variable = isUneven(spec.film);
  try {
    if (variable) await encoder.write(matroskaHead(widthPx, heightPx));
    for (const [n, moment] of moments.entries()) {
      options.signal?.throwIfAborted();
      const { takenS } = moment;
      // A picture that is shown again is still in the bytes, grain and all.
      if (n === 0 || takenS !== moments[n - 1].takenS) {
        const seen = painter.paint(takenS);
        sense(look ? look(seen) : seen, sensed, light && ((yPx) => light(takenS + rowDelayS(yPx))));
      }
      // The encoder may still hold the bytes when the next frame is painted.
      await encoder.write(variable ? matroskaFrame(moment.ptsS, bytes) : bytes.slice());
      options.onProgress?.((n + 1) / moments.length);
    }
    await encoder.end();
    if (rotationDeg !== 0) {
      const onSide = rotationDeg !== 180;
      await tagTurn(partFile, rotationDeg, onSide ? heightPx : widthPx, onSide ? widthPx : heightPx);
    }
    await rename(partFile, outFile);
  } catch (error) {
    encoder.kill();
    await rm(partFile, { force: true });
    throw error;
  }
  await writeFile(truthFile(outFile), `${JSON.stringify(truth)}\n`);
  return truth;
}
