import type { GreyImage } from './grey-image.ts';

/** Every so many pixels each way tell the grain. */
const lookEvery = 7;

/** How much neighbouring pixels differ by chance, one sigma, grey levels: rooms that are dim, and cameras that see little, make 4 and more. */
export function grainOf({ width, height, data }: GreyImage): number {
  const counts = new Uint32Array(4 * 255 + 1);
  let all = 0;
  for (let y = 0; y < height; y += lookEvery) {
    for (let x = 1; x < width - 1; x += lookEvery) {
      const at = y * width + x;
      counts[Math.abs(2 * data[at] - data[at - 1] - data[at + 1])]++;
      all++;
    }
  }
  let middle = 0;
  for (let below = counts[0]; below < all / 2; below += counts[middle]) middle++;
  // A second difference has six times a pixel's variance; one sigma is 1.4826 times the median of what is off (MAD, from memory).
  return (1.4826 * middle) / Math.sqrt(6);
}

/** Grain from which a picture is softened, grey levels, and pixels of softening for each grey level: set by judgement on dim tuning scenes. */
const leastGrain = 3;
const softeningPerGrain = 0.35;
/** At most, pixels of a picture whose longer side is so long: small discs have no edges left then. */
const mostSoftening = { px: 2, ofPx: 1920 };

/**
 * By how much a grainy picture is to be softened before anything is measured in it, one sigma in pixels; 0 where it need not be. Grain
 * makes edges everywhere, among which those of a rim are not told; soft edges stay in place.
 */
export function softeningPx(grain: number, { width, height }: { width: number; height: number }): number {
  if (grain < leastGrain) return 0;
  const most = (mostSoftening.px / mostSoftening.ofPx) * Math.max(width, height);
  return Math.min(most, softeningPerGrain * grain);
}
