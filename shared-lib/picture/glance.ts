import type { GreyImage } from './grey-image.ts';

/** Grey levels on a coarse grid over a square of a picture: enough to tell whether anything there has changed. */
export interface Glance {
  /** Middle and half side of the square, pixels. */
  xPx: number;
  yPx: number;
  reachPx: number;
  levels: Uint8Array;
}

const side = 24;
/**
 * Pictures that differ by less than this in the mean, grey levels, are one picture shown again, or show the same: repeats
 * differ by what compression leaves, up to 0.6 on rendered clips, and a disc that has moved by a quarter pixel by 0.9.
 */
const sameLevels = 0.6;

/** A glance at the square round a place; what lies outside the picture is taken from its border. */
export function glanceAt(image: GreyImage, xPx: number, yPx: number, reachPx: number): Glance {
  const { width, height, data } = image;
  const at = (centre: number, k: number, most: number): number =>
    Math.min(most - 1, Math.max(0, Math.round(centre + reachPx * ((2 * k) / (side - 1) - 1))));
  const levels = new Uint8Array(side * side);
  for (let j = 0; j < side; j++) {
    const row = at(yPx, j, height) * width;
    for (let i = 0; i < side; i++) levels[j * side + i] = data[row + at(xPx, i, width)];
  }
  return { xPx, yPx, reachPx, levels };
}

/** Whether a picture shows the same where a glance was taken. */
export function showsTheSame({ xPx, yPx, reachPx, levels }: Glance, image: GreyImage): boolean {
  const now = glanceAt(image, xPx, yPx, reachPx).levels;
  let sum = 0;
  for (let k = 0; k < levels.length; k++) sum += Math.abs(levels[k] - now[k]);
  return sum < sameLevels * levels.length;
}
