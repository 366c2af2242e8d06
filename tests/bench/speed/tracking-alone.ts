import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { decodeFrames, type DecodeOptions } from '../../../electron/media/decode.ts';
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
  const follow = (): void => {
    let state = startFollowing(pictures[0].image, at, pictures[0].ptsS);
    for (const { image, ptsS } of pictures.slice(1)) state = followInto(state, image, ptsS).state;
  };
  const background = (): void => {
    const random = seededRandom(1);
    const estimator = new CameraMotionEstimator(() => random.uniform());
    for (const { image } of pictures) estimator.update(image, []);
  };
  return { disc: medianCpuMs(follow) / frames, background: medianCpuMs(background) / frames };
}

/** The first round only warms up. */
function medianCpuMs(work: () => void, rounds = 5): number {
  work();
  const times = Array.from({ length: rounds }, () => {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  });
  return times.sort((a, b) => a - b)[rounds >> 1];
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
