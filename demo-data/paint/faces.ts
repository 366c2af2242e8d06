import type { DiscSpec } from '../scene/spec.ts';
import { linearOf, type Rgb } from './colour.ts';
import { noise2 } from './noise.ts';
import type { FacePaint } from './solid.ts';

/** Share of a pixel that lies below an edge, for a value that grows by `pixel` per pixel. */
const below = (edge: number, value: number, pixel: number): number => {
  const s = 0.5 + (edge - value) / pixel;
  return s <= 0 ? 0 : s >= 1 ? 1 : s;
};

/** A ring between two radii, as shares of the disc's radius, with its own colour and bevel toward the light. */
interface Ring {
  from: number;
  to: number;
  colour: Rgb;
  /** Slope of the surface outward: positive faces away from the axis. */
  bevel: number;
}

/** Wedges or dots on a ring, repeated round the axis: they show that the disc turns. */
interface Marks {
  from: number;
  to: number;
  count: number;
  /** Share of the way round that a mark takes. */
  width: number;
  colour: Rgb;
  /** Marks at these places are left out, so that the pattern is not the same after a part turn. */
  skip: readonly number[];
}

interface Design {
  rings: Ring[];
  marks: Marks[];
  /** Strength of scuffs and dust. */
  wear: number;
}

const steel: Rgb = [0.36, 0.37, 0.38];
const chalk: Rgb = [0.62, 0.61, 0.58];

function designOf({ design, colour }: DiscSpec): Design {
  const base = linearOf(colour);
  const darker: Rgb = [base[0] * 0.55, base[1] * 0.55, base[2] * 0.55];
  const lighter: Rgb = [base[0] * 1.5 + 0.02, base[1] * 1.5 + 0.02, base[2] * 1.5 + 0.02];
  switch (design) {
    case 'rubber':
      return {
        rings: [
          { from: 0, to: 0.26, colour: steel, bevel: 0.1 },
          { from: 0.26, to: 0.3, colour: darker, bevel: -0.5 },
          { from: 0.3, to: 0.8, colour: base, bevel: 0 },
          { from: 0.8, to: 0.84, colour: lighter, bevel: -0.5 },
          { from: 0.84, to: 0.965, colour: base, bevel: 0.05 },
          { from: 0.965, to: 1, colour: darker, bevel: 0.7 },
        ],
        marks: [
          { from: 0.46, to: 0.62, count: 6, width: 0.42, colour: chalk, skip: [1, 4] },
          { from: 0.5, to: 0.58, count: 6, width: 0.16, colour: chalk, skip: [0, 2, 3, 5] },
        ],
        wear: 0.5,
      };
    case 'calibrated':
      return {
        rings: [
          { from: 0, to: 0.17, colour: steel, bevel: 0.15 },
          { from: 0.17, to: 0.2, colour: darker, bevel: -0.6 },
          { from: 0.2, to: 0.62, colour: base, bevel: 0 },
          { from: 0.62, to: 0.65, colour: darker, bevel: 0.6 },
          { from: 0.65, to: 0.93, colour: base, bevel: 0 },
          { from: 0.93, to: 1, colour: lighter, bevel: 0.45 },
        ],
        marks: [
          { from: 0.28, to: 0.33, count: 3, width: 0.07, colour: steel, skip: [] },
          { from: 0.72, to: 0.84, count: 4, width: 0.5, colour: chalk, skip: [1, 3] },
          {
            from: 0.76,
            to: 0.81,
            count: 24,
            width: 0.5,
            colour: chalk,
            skip: [0, 1, 2, 3, 4, 5, 12, 13, 14, 15, 16, 17],
          },
        ],
        wear: 0.35,
      };
    case 'iron':
      return {
        rings: [
          { from: 0, to: 0.19, colour: lighter, bevel: 0.2 },
          { from: 0.19, to: 0.22, colour: darker, bevel: -0.7 },
          { from: 0.22, to: 0.78, colour: base, bevel: 0 },
          { from: 0.78, to: 0.84, colour: darker, bevel: -0.8 },
          { from: 0.84, to: 0.97, colour: lighter, bevel: 0 },
          { from: 0.97, to: 1, colour: darker, bevel: 0.8 },
        ],
        marks: [{ from: 0.3, to: 0.7, count: 8, width: 0.22, colour: darker, skip: [2, 5, 6] }],
        wear: 0.9,
      };
    case 'club':
      return {
        rings: [
          { from: 0, to: 0.22, colour: steel, bevel: 0.12 },
          { from: 0.22, to: 0.25, colour: [0.02, 0.02, 0.02], bevel: -0.4 },
          { from: 0.25, to: 0.66, colour: base, bevel: 0 },
          { from: 0.66, to: 0.7, colour: chalk, bevel: 0 },
          { from: 0.7, to: 0.95, colour: darker, bevel: 0.05 },
          { from: 0.95, to: 1, colour: [0.03, 0.03, 0.035], bevel: 0.6 },
        ],
        marks: [
          { from: 0.36, to: 0.52, count: 5, width: 0.3, colour: chalk, skip: [3] },
          { from: 0.78, to: 0.86, count: 2, width: 0.2, colour: chalk, skip: [] },
        ],
        wear: 0.4,
      };
  }
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
      const radial = below(mark.to, s, pixel) - below(mark.from, s, pixel);
      if (radial <= 0) continue;
      const round = (Math.atan2(fv, fu) / (2 * Math.PI) + 1) * mark.count;
      const index = Math.floor(round) % mark.count;
      if (mark.skip.includes(index)) continue;
      const off = Math.abs(round - Math.floor(round) - 0.5);
      const share =
        radial * below(mark.width / 2, off, (pixel * mark.count) / (2 * Math.PI * Math.max(s, 0.05)));
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
