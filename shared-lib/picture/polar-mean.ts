import type { GreyImage } from './grey-image.ts';
import { lightOf } from './light.ts';

/**
 * The mean of many pictures round a moving centre, unwrapped to angle and radius. What belongs to the disc keeps
 * its place and adds up, however faint; scenery goes by and averages away; so does the face's writing as the disc
 * turns, while rings stay.
 */
export interface PolarMean {
  /** Radius at multiple 1, pixels, in a picture of scale 1. */
  unitPx: number;
  /** Sums of light and numbers of pictures, by angle and radius. */
  light: Float64Array;
  looked: Uint16Array;
  pictures: number;
}

export const polarAngles = 96;
/** Radii run in even steps of their logarithm, as multiples of the unit. */
const least = 0.55;
const most = 4.2;
export const polarStep = 0.0075;
export const polarRadii = Math.ceil(Math.log(most / least) / polarStep);

const cosine = Float64Array.from({ length: polarAngles }, (_, i) =>
  Math.cos((2 * Math.PI * i) / polarAngles),
);
const sine = Float64Array.from({ length: polarAngles }, (_, i) => Math.sin((2 * Math.PI * i) / polarAngles));
const multiples = Float64Array.from({ length: polarRadii }, (_, k) => least * Math.exp(k * polarStep));
export const polarCosine = (angle: number): number => cosine[angle];
export const polarSine = (angle: number): number => sine[angle];
export const multipleAt = (radius: number): number => least * Math.exp(radius * polarStep);
export const radiusOf = (multiple: number): number => Math.log(multiple / least) / polarStep;

export const emptyPolarMean = (unitPx: number): PolarMean => ({
  unitPx,
  light: new Float64Array(polarAngles * polarRadii),
  looked: new Uint16Array(polarAngles * polarRadii),
  pictures: 0,
});

/** Adds a picture in which the centre lies at (xPx, yPx) and the disc appears `scale` times as large as in the first. */
export function addToPolarMean(
  mean: PolarMean,
  image: GreyImage,
  xPx: number,
  yPx: number,
  scale: number,
): void {
  const { width, height, data } = image;
  mean.pictures++;
  for (let i = 0; i < polarAngles; i++) {
    const ux = cosine[i] * mean.unitPx * scale;
    const uy = sine[i] * mean.unitPx * scale;
    for (let k = 0; k < polarRadii; k++) {
      const x = xPx + multiples[k] * ux;
      const y = yPx + multiples[k] * uy;
      if (!(x >= 0 && y >= 0 && x < width - 1 && y < height - 1)) break;
      const x0 = x | 0;
      const y0 = y | 0;
      const fx = x - x0;
      const at = y0 * width + x0;
      const nw = lightOf[data[at]];
      const sw = lightOf[data[at + width]];
      const top = nw + fx * (lightOf[data[at + 1]] - nw);
      const bottom = sw + fx * (lightOf[data[at + width + 1]] - sw);
      const cell = i * polarRadii + k;
      mean.light[cell] += top + (y - y0) * (bottom - top);
      mean.looked[cell]++;
    }
  }
}

/** An edge across a ray of the mean picture: where, as a multiple of the unit, and its step outward in grey levels. */
export interface PolarEdge {
  multiple: number;
  step: number;
}

/** Edges fainter than this many grey levels, or than this many sigmas of the mean's own noise, are none. */
const faintest = 1.5;
const faintestSigmas = 3.5;
/** A step compares stretches of this length on both sides, pixels. */
const stretchPx = 1.5;

/** Edges on each ray, inside out, as far out as half the pictures show it. */
export function polarEdges(mean: PolarMean): PolarEdge[][] {
  const grey = Float64Array.from(mean.light, (sum, cell) =>
    sum > 0 ? Math.sqrt(sum / mean.looked[cell]) : 0,
  );
  const steps = new Float64Array(grey.length);
  const sizes: number[] = [];
  for (let i = 0; i < polarAngles; i++) {
    for (let k = 0; k < polarRadii; k++) {
      const half = Math.max(1, Math.round(stretchPx / (multiples[k] * mean.unitPx * polarStep)));
      const cell = i * polarRadii + k;
      if (k < half || k + half > polarRadii || mean.looked[cell + half - 1] < 0.5 * mean.pictures) continue;
      let sum = 0;
      for (let j = 0; j < half; j++) sum += grey[cell + j] - grey[cell - 1 - j];
      steps[cell] = sum / half;
      if ((i * 7 + k) % 5 === 0) sizes.push(Math.abs(steps[cell]));
    }
  }
  sizes.sort((a, b) => a - b);
  const noise = 1.4826 * (sizes[sizes.length >> 1] ?? 0);
  const enough = Math.max(faintest, Math.min(faintestSigmas * noise, 6));
  return Array.from({ length: polarAngles }, (_, i) => {
    const edges: PolarEdge[] = [];
    for (let k = 1; k < polarRadii - 1; k++) {
      const cell = i * polarRadii + k;
      const size = Math.abs(steps[cell]);
      const before = Math.abs(steps[cell - 1]);
      const after = Math.abs(steps[cell + 1]);
      if (size < enough || size < before || size <= after) continue;
      const bend = before - 2 * size + after;
      const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
      edges.push({ multiple: multipleAt(k - 0.5 + shift), step: steps[cell] });
    }
    return edges;
  });
}
