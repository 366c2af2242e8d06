import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { decodeFrames, ringSize, type DecodeOptions } from '../../../electron/media/decode.ts';
import { loadKernels } from '../../../electron/tracing/load-kernels.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { CameraMotionEstimator } from '../../../shared-lib/trace/camera-motion.ts';
import { followInto, startFollowing } from '../../../shared-lib/trace/follow-disc.ts';
import { pythonWithOpencv } from '../accuracy/opencv.ts';

/** Pictures that are kept in memory for the purpose. */
const frames = 90;
const script = fileURLToPath(new URL('../speed_opencv.py', import.meta.url));

/** Processor milliseconds a picture of following one disc, and of following the background too, without decoding. */
export async function trackingAloneMs(
  file: string,
  decoding: DecodeOptions,
  truth: Truth,
): Promise<{ disc: number; background: number }> {
  const pictures: { image: GreyImage; ptsS: number }[] = [];
  for await (const { image, ptsS } of decodeFrames(file, decoding)) {
    pictures.push({ image: { ...image, data: image.data.slice() }, ptsS });
    if (pictures.length === frames) break;
  }
  const { px, py, rim } = truth.frames[0];
  const at = { xPx: px, yPx: py, aPx: rim.a_px, bPx: rim.b_px, thetaRad: rim.theta_rad };
  // As the program has them: in the compiled code's memory.
  const ring = loadKernels(decoding.width * decoding.height, ringSize);
  const held = pictures.map(({ image, ptsS }, k) => () => {
    const place = ring[k % ring.length];
    place.set(image.data);
    return { image: { ...image, data: place }, ptsS };
  });
  const follow = () => {
    const first = held[0]();
    let state = startFollowing(first.image, at, first.ptsS);
    return (image: GreyImage, ptsS: number): void => void (state = followInto(state, image, ptsS).state);
  };
  const background = () => {
    const random = seededRandom(1);
    const estimator = new CameraMotionEstimator(() => random.uniform());
    return (image: GreyImage): void => void estimator.update(image, []);
  };
  return { disc: medianCpuMs(held, follow), background: medianCpuMs(held, background) };
}

/** Processor milliseconds a picture; the first round only warms up. */
function medianCpuMs(
  pictures: readonly (() => { image: GreyImage; ptsS: number })[],
  begin: () => (image: GreyImage, ptsS: number) => void,
  rounds = 5,
): number {
  const times = Array.from({ length: rounds + 1 }, () => {
    const look = begin();
    let takenUs = 0;
    for (const picture of pictures) {
      const { image, ptsS } = picture();
      const before = process.cpuUsage();
      look(image, ptsS);
      const { user, system } = process.cpuUsage(before);
      takenUs += user + system;
    }
    return takenUs / 1000 / pictures.length;
  });
  return times.slice(1).sort((a, b) => a - b)[rounds >> 1];
}

/** The same of OpenCV's trackers, by name; null where no Python has OpenCV. */
export function opencvMs(file: string, truth: Truth): Record<string, number> | null {
  const python = pythonWithOpencv();
  if (!python) return null;
  const { px, py, rim } = truth.frames[0];
  const args = [script, file, frames, px, py, rim.a_px].map(String);
  const run = spawnSync(python, args, { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(run.stderr);
  return z.record(z.string(), z.number()).parse(JSON.parse(run.stdout));
}
