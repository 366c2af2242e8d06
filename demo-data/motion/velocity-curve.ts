/** A knot of a velocity curve: seconds, metres per second, and the slope where it is not left to the curve. */
export interface Knot {
  tS: number;
  vMps: number;
  slope?: number;
}

/** Velocity as a C1 cubic Hermite spline, position as its exact integral. */
export interface VelocityCurve {
  durationS: number;
  /** Displacement since the first knot, metres. */
  position(tS: number): number;
  velocity(tS: number): number;
}

/**
 * Slopes that keep the curve monotone between knots, so that knots are its only extremes (Fritsch and Carlson,
 * SIAM J. Numer. Anal. 17, 1980, in the harmonic-mean form; from memory). The ends are at rest.
 */
function slopes(knots: readonly Knot[]): number[] {
  return knots.map((knot, i) => {
    if (knot.slope !== undefined) return knot.slope;
    const before = knots[i - 1];
    const after = knots[i + 1];
    if (!before || !after) return 0;
    const left = (knot.vMps - before.vMps) / (knot.tS - before.tS);
    const right = (after.vMps - knot.vMps) / (after.tS - knot.tS);
    return left * right <= 0 ? 0 : (2 * left * right) / (left + right);
  });
}

export function velocityCurve(knots: readonly Knot[]): VelocityCurve {
  const m = slopes(knots);
  const spans = knots.slice(1).map((_, i) => {
    const a = knots[i];
    const b = knots[i + 1];
    const h = b.tS - a.tS;
    // v(s) = c0 + c1 s + c2 s^2 + c3 s^3 with s from 0 to 1
    const c0 = a.vMps;
    const c1 = h * m[i];
    const c2 = 3 * (b.vMps - a.vMps) - h * (2 * m[i] + m[i + 1]);
    const c3 = 2 * (a.vMps - b.vMps) + h * (m[i] + m[i + 1]);
    return { t0: a.tS, h, c0, c1, c2, c3, whole: h * (c0 + c1 / 2 + c2 / 3 + c3 / 4) };
  });
  const t0 = knots[0].tS;
  const durationS = knots[knots.length - 1].tS - t0;
  const find = (tS: number) => {
    const t = Math.min(Math.max(tS, 0), durationS) + t0;
    let i = 0;
    let done = 0;
    while (i < spans.length - 1 && t >= spans[i].t0 + spans[i].h) done += spans[i++].whole;
    return { span: spans[i], s: (t - spans[i].t0) / spans[i].h, done };
  };
  return {
    durationS,
    position(tS) {
      const { span, s, done } = find(tS);
      return done + span.h * s * (span.c0 + s * (span.c1 / 2 + s * (span.c2 / 3 + (s * span.c3) / 4)));
    },
    velocity(tS) {
      const { span, s } = find(tS);
      return span.c0 + s * (span.c1 + s * (span.c2 + s * span.c3));
    },
  };
}
