import type { DiscSpec } from '../scene/spec.ts';
import { linearOf, type Rgb } from './colour.ts';

/** A ring between two radii, as shares of the disc's radius, with its own colour and bevel toward the light. */
export interface Ring {
  from: number;
  to: number;
  colour: Rgb;
  /** Slope of the surface outward: positive faces away from the axis. */
  bevel: number;
}

/** Wedges or dots on a ring, repeated round the axis: they show that the disc turns. */
export interface Marks {
  from: number;
  to: number;
  count: number;
  /** Share of the way round that a mark takes. */
  width: number;
  colour: Rgb;
  /** Marks at these places are left out, so that the pattern is not the same after a part turn. */
  skip: readonly number[];
}

export interface Design {
  rings: Ring[];
  marks: Marks[];
  /** Openings right through the disc, placed as marks are. */
  openings: Omit<Marks, 'colour'>[];
  /** Strength of scuffs and dust. */
  wear: number;
}

const steel: Rgb = [0.36, 0.37, 0.38];
const chalk: Rgb = [0.62, 0.61, 0.58];

/** Every design is of our own invention. */
export function designOf({ design, colour }: DiscSpec): Design {
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
        openings: [],
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
        openings: [],
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
        openings: [],
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
        openings: [],
        wear: 0.4,
      };
    case 'plain':
      return {
        rings: [
          { from: 0, to: 0.2, colour: darker, bevel: 0.1 },
          { from: 0.2, to: 0.97, colour: base, bevel: 0 },
          { from: 0.97, to: 1, colour: darker, bevel: 0.5 },
        ],
        marks: [],
        openings: [],
        wear: 0.2,
      };
    case 'spoked':
      return {
        rings: [
          { from: 0, to: 0.28, colour: base, bevel: 0.15 },
          { from: 0.28, to: 0.76, colour: darker, bevel: 0 },
          { from: 0.76, to: 0.8, colour: lighter, bevel: -0.5 },
          { from: 0.8, to: 1, colour: base, bevel: 0.1 },
        ],
        marks: [{ from: 0.85, to: 0.95, count: 7, width: 0.35, colour: chalk, skip: [1, 2, 5] }],
        openings: [{ from: 0.34, to: 0.72, count: 5, width: 0.66, skip: [] }],
        wear: 0.5,
      };
    case 'gripped':
      return {
        rings: [
          { from: 0, to: 0.15, colour: steel, bevel: 0.2 },
          { from: 0.15, to: 0.4, colour: lighter, bevel: -0.15 },
          { from: 0.4, to: 0.86, colour: base, bevel: 0.08 },
          { from: 0.86, to: 0.9, colour: [0.5, 0.5, 0.48], bevel: 0 },
          { from: 0.9, to: 1, colour: base, bevel: 0.35 },
        ],
        marks: [
          { from: 0.2, to: 0.34, count: 9, width: 0.25, colour: darker, skip: [4, 8] },
          { from: 0.44, to: 0.5, count: 3, width: 0.3, colour: [0.5, 0.5, 0.48], skip: [1] },
        ],
        openings: [{ from: 0.58, to: 0.74, count: 3, width: 0.34, skip: [] }],
        wear: 0.3,
      };
    case 'banded':
      return {
        rings: [
          { from: 0, to: 0.3, colour: [0.05, 0.05, 0.055], bevel: 0.1 },
          { from: 0.3, to: 0.34, colour: steel, bevel: -0.3 },
          { from: 0.34, to: 0.72, colour: [0.03, 0.03, 0.033], bevel: 0.02 },
          { from: 0.72, to: 0.8, colour: base, bevel: 0 },
          { from: 0.8, to: 0.985, colour: [0.03, 0.03, 0.033], bevel: 0.12 },
          { from: 0.985, to: 1, colour: [0.06, 0.06, 0.06], bevel: 0.4 },
        ],
        marks: [
          { from: 0.42, to: 0.64, count: 4, width: 0.2, colour: base, skip: [2] },
          { from: 0.86, to: 0.93, count: 11, width: 0.6, colour: chalk, skip: [3, 4, 5, 8, 9, 10] },
        ],
        openings: [],
        wear: 0.7,
      };
  }
}
