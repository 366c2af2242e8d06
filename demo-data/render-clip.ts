import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, extname, join } from 'node:path';
import { startEncoder } from './film/encode.ts';
import { frameTimes } from './film/frame-times.ts';
import { makeGrain } from './film/grain.ts';
import { handOf } from './film/hand.ts';
import { matroskaFrame, matroskaHead } from './film/matroska.ts';
import { tagTurn } from './film/turn-tag.ts';
import { motionOf } from './motion/bar-motion.ts';
import { makePainter } from './paint/frame.ts';
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
  const hand = handOf(spec.camera.shakePx, spec.camera.focalPx, spec.seed);
  return frameTimes(spec.film, durationS, spec.seed).map((ptsS) => ({
    ptsS,
    tS: ptsS / slowMotion,
    camera: hand(ptsS / slowMotion),
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
  const luma = widthPx * heightPx;
  const grained = {
    widthPx,
    heightPx,
    y: bytes.subarray(0, luma),
    u: bytes.subarray(luma, (luma * 5) / 4),
    v: bytes.subarray((luma * 5) / 4),
  };
  const painter = makePainter(spec);
  const addGrain = makeGrain(spec.film.grain, spec.seed);
  const encoder = startEncoder(spec.film, partFile);
  const variable = spec.film.jitter > 0;
  try {
    if (variable) await encoder.write(matroskaHead(widthPx, heightPx));
    for (const [n, moment] of moments.entries()) {
      options.signal?.throwIfAborted();
      addGrain(painter.paint(moment.tS, moment.camera), grained);
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
