import { stillCamera } from '../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { CameraMotionEstimator } from '../../shared-lib/trace/camera-motion.ts';
import { addBlobs, expose, scatterBlobs } from '../unit/camera-motion/blobs.ts';

/** Prints the processor time of the camera's motion per 1080p frame, and its ratio to reading every pixel once. */
const width = 1920;
const height = 1080;
const random = seededRandom(1);
const blobs = scatterBlobs(4000, width, height, 60, seededRandom(2));

function picture(txPx: number, tyPx: number): GreyImage {
  const plane = new Float64Array(width * height).fill(128);
  addBlobs(plane, width, height, blobs, { ...stillCamera, txPx, tyPx });
  return expose(plane, width, height, { gain: 1, bias: 0, noise: 2, random });
}

function cpuMs(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

const still = Array.from({ length: 6 }, () => picture(0, 0));
const handHeld = Array.from({ length: 12 }, (_, i) =>
  picture(5 * Math.sin((i * Math.PI) / 6), 4 * Math.cos((i * Math.PI) / 6) - 4),
);
const rounds = 20;

let total = 0;
const read = (image: GreyImage) => {
  let sum = 0;
  for (let i = 0; i < image.data.length; i++) sum += image.data[i];
  total += sum;
};
still.forEach(read);
const readMs = cpuMs(() => still.forEach(read)) / still.length;

for (const [name, pictures] of Object.entries({ still, handHeld })) {
  const estimator = new CameraMotionEstimator(() => random.uniform());
  const firstMs = cpuMs(() => estimator.update(pictures[0], []));
  for (let k = 0; k < 5; k++) pictures.forEach((p) => estimator.update(p, []));
  const ms =
    cpuMs(() => {
      for (let k = 0; k < rounds; k++) pictures.forEach((p) => estimator.update(p, []));
    }) /
    (rounds * pictures.length);
  console.log(
    `${name}: ${ms.toFixed(2)} ms a frame, ${(ms / readMs).toFixed(2)} times reading the picture (${readMs.toFixed(2)} ms); first frame ${firstMs.toFixed(0)} ms`,
  );
}
if (total < 0) console.log(total);
