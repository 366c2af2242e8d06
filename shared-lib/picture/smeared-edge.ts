/** A step from 0 to 1 blurred by a lens and drawn out by motion, a pixel apart, with what fitting needs of it. */
export interface SmearedEdge {
  values: Float64Array;
  mean: number;
  /** Sum of squares about the mean. */
  square: number;
}

/** Edges alike but for their smear, by its steps, once they are asked for. */
type Edges = (SmearedEdge | undefined)[];
const kept = new Map<string, Edges>();
/** Smears are told apart to this, px. */
const smearStepPx = 0.25;
const mostKept = 1000;

/**
 * Edges alike but for their smear, to be asked for many times.
 *
 * @param half pixels to each side of the middle
 * @param breadthPx one sigma of the lens's blur
 * @returns the edge for how far it moves across itself while the shutter is open, px
 */
export function smearedEdges(
  half: number,
  shiftPx: number,
  breadthPx: number,
): (smearPx: number) => SmearedEdge {
  const key = `${half} ${shiftPx} ${breadthPx}`;
  if (kept.size >= mostKept) kept.clear();
  const edges = kept.get(key) ?? [];
  kept.set(key, edges);
  return (smearPx) => {
    const steps = Math.round(smearPx / smearStepPx);
    return (edges[steps] ??= smearedEdge(half, shiftPx, breadthPx, steps));
  };
}

function smearedEdge(half: number, shiftPx: number, breadthPx: number, steps: number): SmearedEdge {
  const smear = Math.max(steps, 0.2) * smearStepPx;
  const values = Float64Array.from({ length: 2 * half + 1 }, (_, k) => {
    const d = k - half - shiftPx;
    return (ramp(d + smear / 2, breadthPx) - ramp(d - smear / 2, breadthPx)) / smear;
  });
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const square = values.reduce((a, b) => a + (b - mean) ** 2, 0);
  return { values, mean, square };
}

/** Integral of a blurred step up to x: of the normal distribution's own integral. */
function ramp(x: number, sigma: number): number {
  const u = x / sigma;
  return x * phi(u) + (sigma * Math.exp(-0.5 * u * u)) / Math.sqrt(2 * Math.PI);
}

/** The normal distribution up to u: Abramowitz and Stegun 26.2.17, to 1e-7 (from memory). */
function phi(u: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(u));
  const poly =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const upper = (Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI)) * poly;
  return u >= 0 ? 1 - upper : upper;
}

/** A profile less its mean, to be explained by many edges. */
export interface CentredProfile {
  off: Float64Array;
  /** Sum of its squares. */
  square: number;
}

export function centred(light: Float64Array): CentredProfile {
  const centre = light.reduce((a, b) => a + b, 0) / light.length;
  const off = light.map((v) => v - centre);
  return { off, square: off.reduce((a, v) => a + v * v, 0) };
}

/** What an edge between any two levels leaves of a profile's variance, 0 to 1. */
export function misfitOf(
  { off, square: own }: CentredProfile,
  { values, mean, square }: SmearedEdge,
): number {
  let both = 0;
  for (let k = 0; k < off.length; k++) both += off[k] * (values[k] - mean);
  return own > 0 && square > 0 ? 1 - (both * both) / (own * square) : 1;
}
