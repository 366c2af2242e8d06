import { randomOf, type Random } from '../scene/random.ts';
import type { FilmSpec } from '../scene/spec.ts';
import type { Planes } from './yuv.ts';

const tileLength = 1 << 20;
/** Exponent of a power law near the gamma curve: a gain in light becomes its power in coded levels. */
export const codedPower = 1 / 2.2;
const whiteLevel = 235;

/** Strength of grain by level: a read part plus a shot part in linear light, carried through the gamma curve. */
function grainByLevel(sigmaAtGrey: number): Float32Array {
  const strength = Float32Array.from({ length: 256 }, (_, level) => {
    const s = Math.min(Math.max((level - 16) / 219, 0.02), 1);
    const linear = s ** 2.2;
    // d(gamma)/d(linear) times the square root of the variance
    return (Math.sqrt(0.002 + linear) * linear ** (1 / 2.2 - 1)) / 2.2;
  });
  const grey = strength[16 + Math.round(219 * 0.46)];
  return strength.map((s) => (s / grey) * sigmaAtGrey);
}

/** Writes a developed picture as bytes; `lightOfRow` is the light of each row against a steady exposure, or null. */
export type Sensor = (
  from: Planes<Float32Array>,
  to: Planes<Uint8ClampedArray>,
  lightOfRow?: ((yPx: number) => number) | null,
) => void;

/**
 * What happens between the lens and the coder, in one pass: less light toward the corners, the row's exposure, clipping
 * at white, and grain that is strongest in darks and mid greys. One long tile of Gaussian numbers is read from a new
 * place in each row.
 */
export function makeSensor(
  film: Pick<FilmSpec, 'widthPx' | 'heightPx' | 'vignette' | 'grain' | 'grey'>,
  seed: number,
): Sensor {
  const { widthPx: w, heightPx: h, grey } = film;
  const random = randomOf(seed);
  const tile = Float32Array.from({ length: tileLength }, () => random.gauss());
  const strength = grainByLevel(film.grain);
  const lost = 1 - (1 - film.vignette) ** codedPower;
  const fallOff = (at: number, length: number): number =>
    (lost * (at - length / 2) ** 2) / ((w * w + h * h) / 4);
  const ofColumn = Float32Array.from({ length: w }, (_, i) => fallOff(i, w));

  return (from, to, lightOfRow = null) => {
    const rowGain = (j: number): number => (lightOfRow ? lightOfRow(j) ** codedPower : 1);
    for (let j = 0; j < h; j++) {
      const base = j * w;
      const at = startOf(random) - base;
      const light = rowGain(j);
      const atMiddle = light * (1 - fallOff(j, h));
      for (let i = 0; i < w; i++) {
        const coded = 16 + (from.y[base + i] - 16) * (atMiddle - light * ofColumn[i]);
        const level = coded > whiteLevel ? whiteLevel : coded;
        to.y[base + i] = level + strength[level | 0] * tile[at + base + i];
      }
    }
    if (grey) {
      to.u.fill(128);
      to.v.fill(128);
    } else chroma(from, to, rowGain, 0.5 * film.grain, tile, random);
  };
}

const startOf = (random: Random): number => Math.floor(random.uniform(0, tileLength - 8192));

function chroma(
  from: Planes<Float32Array>,
  to: Planes<Uint8ClampedArray>,
  rowGain: (j: number) => number,
  sigma: number,
  tile: Float32Array,
  random: Random,
): void {
  const half = from.widthPx / 2;
  for (let j = 0; j < from.heightPx / 2; j++) {
    const base = j * half;
    const atU = startOf(random) - base;
    const atV = startOf(random) - base;
    const gain = rowGain(2 * j);
    for (let i = base; i < base + half; i++) {
      to.u[i] = 128 + gain * (from.u[i] - 128) + sigma * tile[atU + i];
      to.v[i] = 128 + gain * (from.v[i] - 128) + sigma * tile[atV + i];
    }
  }
}
