import { seededRandom } from '../../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';

interface WithPictures {
  memory: { buffer: ArrayBuffer; grow: (pages: number) => number };
  picturesAt: () => number;
}

/** A picture of noise in the memory of compiled code, which is to be used from here on only: it may have grown. */
export function noiseInMemory(compiled: unknown, width: number, height: number): GreyImage {
  const { memory, picturesAt } = compiled as WithPictures;
  const missing = picturesAt() + width * height - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / 65536));
  const random = seededRandom(5);
  const data = new Uint8Array(memory.buffer, picturesAt(), width * height);
  data.forEach((_, at) => (data[at] = Math.floor(256 * random.uniform())));
  return { width, height, data };
}
