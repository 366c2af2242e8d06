import fc from 'fast-check';
import { outlinesOn, rays, type DiscEdges } from '../../../shared-lib/camera/disc-outline.ts';
import { normalOf } from '../../../shared-lib/camera/pinhole.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

const radiusM = 0.225;
export const centre = { xPx: 700, yPx: 420 };
/** A pose in the order of the parameters, with as many rings. */
export type Pose = [yaw: number, pitch: number, focalPx: number, distanceM: number, thicknessM: number];

export function outlinesOf(
  [yaw, pitch, focalPx, distanceM, thicknessM]: Pose,
  shares: readonly number[],
  outM = 0,
) {
  const lens = { focalPx, cxPx: 959.5, cyPx: 539.5 };
  const rings = shares.map((share) => ({ share, outM }));
  return outlinesOn(lens, { normal: normalOf(yaw, pitch), distanceM }, radiusM, thicknessM, rings);
}

/** The disc's radius in the picture, px, roughly. */
export const radiusOf = ([, , focalPx, distanceM]: Pose): number => (radiusM * focalPx) / distanceM;

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
export const somePose: fc.Arbitrary<Pose> = fc.tuple(
  between(-0.6, 0.6),
  between(-0.3, 0.3),
  between(900, 2000),
  between(2, 4),
  between(0, 0.3),
);
export const someShares = fc.array(between(0.3, 0.97), { maxLength: 8 });
export const someKernelPx = between(0.8, 8);

/** On each ray some points anywhere out to beyond the rim. */
export function edgesAnywhere(seed: number, radiusPx: number): DiscEdges {
  const random = seededRandom(seed);
  const [xPx, yPx, weight]: number[][] = [[], [], []];
  const first = [0];
  for (let i = 0; i < rays; i++) {
    const points = Math.floor(20 * random.uniform());
    for (let k = 0; k < points; k++) {
      const r = 1.4 * radiusPx * random.uniform();
      const phi = (2 * Math.PI * i) / rays;
      xPx.push(centre.xPx + r * Math.cos(phi));
      yPx.push(centre.yPx + r * Math.sin(phi));
      weight.push(random.uniform());
    }
    first.push(xPx.length);
  }
  const [x, y, w] = [xPx, yPx, weight].map((of) => Float64Array.from(of));
  return { xPx: x, yPx: y, weight: w, first: Int32Array.from(first), densityPerPx: 0.05 };
}
