import type { DiscSpec } from '../scene/spec.ts';
import type { Rgb } from './colour.ts';
import { designOf, type Marks } from './disc-designs.ts';
import { noise2 } from './noise.ts';
import type { FaceOpening, FacePaint } from './solid.ts';

/** Share of a pixel that lies below an edge, for a value that grows by `pixel` per pixel. */
const below = (edge: number, value: number, pixel: number): number => {
  const s = 0.5 + (edge - value) / pixel;
  return s <= 0 ? 0 : s >= 1 ? 1 : s;
};

const steel: Rgb = [0.36, 0.37, 0.38];
const chalk: Rgb = [0.62, 0.61, 0.58];

/** Share of a pixel that lies on one of the marks; place and pixel as shares of the disc's radius. */
function markShare(mark: Omit<Marks, 'colour'>, u: number, v: number, s: number, pixel: number): number {
  const radial = below(mark.to, s, pixel) - below(mark.from, s, pixel);
  if (radial <= 0) return 0;
  const round = (Math.atan2(v, u) / (2 * Math.PI) + 1) * mark.count;
  const index = Math.floor(round) % mark.count;
  if (mark.skip.includes(index)) return 0;
  const off = Math.abs(round - Math.floor(round) - 0.5);
  return radial * below(mark.width / 2, off, (pixel * mark.count) / (2 * Math.PI * Math.max(s, 0.05)));
}

/** Share of a pixel through which one sees what is behind the disc; null for a disc without openings. */
export function discOpening(spec: DiscSpec, turnRad: number): FaceOpening | null {
  const { openings } = designOf(spec);
  if (openings.length === 0) return null;
  const radiusM = spec.diameterM / 2;
  const cos = Math.cos(turnRad);
  const sin = Math.sin(turnRad);
  return (u, v, r, pixelM) => {
    const fu = (u * cos + v * sin) / radiusM;
    const fv = (v * cos - u * sin) / radiusM;
    let open = 0;
    for (const opening of openings) open += markShare(opening, fu, fv, r / radiusM, pixelM / radiusM);
    return open;
  };
}

/** The painted face of a disc, turned on the sleeve by `turnRad`, counter-clockwise as seen. */
export function discFace(spec: DiscSpec, seed: number, turnRad: number): FacePaint {
  const { rings, marks, wear: ofDesign } = designOf(spec);
  const wear = spec.wear ?? ofDesign;
  const radiusM = spec.diameterM / 2;
  const cos = Math.cos(turnRad);
  const sin = Math.sin(turnRad);
  return (u, v, r, pixelM, out) => {
    const s = r / radiusM;
    const pixel = pixelM / radiusM;
    const nu = r > 1e-6 ? u / r : 0;
    const nv = r > 1e-6 ? v / r : 0;
    out[0] = out[1] = out[2] = 0;
    for (const ring of rings) {
      const inside = ring.to === 1 ? 1 : below(ring.to, s, pixel);
      const share = inside - (ring.from === 0 ? 0 : below(ring.from, s, pixel));
      if (share <= 0) continue;
      // Light comes from the ceiling, a little from the left.
      const light = 0.72 + 0.1 * nv * s + ring.bevel * (0.75 * nv - 0.3 * nu);
      for (let c = 0; c < 3; c++) out[c] += share * ring.colour[c] * Math.max(0.12, light);
    }
    // The face's own coordinates turn with it.
    const fu = (u * cos + v * sin) / radiusM;
    const fv = (v * cos - u * sin) / radiusM;
    for (const mark of marks) {
      const share = markShare(mark, fu, fv, s, pixel);
      if (share <= 0) continue;
      const light = 0.74 + 0.1 * nv * s;
      for (let c = 0; c < 3; c++) out[c] += share * (mark.colour[c] * light - out[c]);
    }
    const scuff = noise2(fu * 7 + 31, fv * 7 + 17, seed) * 0.6 + noise2(fu * 23, fv * 23, seed + 1) * 0.4;
    const dust = wear * Math.max(0, scuff - 0.5);
    for (let c = 0; c < 3; c++) {
      out[c] *= 1 + wear * 0.5 * (scuff - 0.5);
      out[c] += 0.1 * dust * (chalk[c] - out[c]);
    }
  };
}

/** Plain machined steel with a darker middle: the sleeve's end, collars. */
export function steelFace(radiusM: number, colour: Rgb = steel): FacePaint {
  return (u, v, r, pixelM, out) => {
    const s = r / radiusM;
    const light = 0.85 + 0.35 * (v / radiusM) - 0.1 * (u / radiusM);
    const dark = 1 - 0.65 * below(0.42, s, pixelM / radiusM);
    for (let c = 0; c < 3; c++) out[c] = colour[c] * light * dark;
  };
}
