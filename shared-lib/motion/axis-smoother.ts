/**
 * A fixed-interval smoother of position, velocity and acceleration of one axis: Kalman filter forward,
 * Rauch-Tung-Striebel backward, with white-noise jerk (the posterior mean is the quintic smoothing spline).
 *
 * Everything is dimensionless: time in units of tau = 1 / (2 pi f0), variances in units of the median
 * measurement variance. Then the jerk's power density is the median interval itself, since
 * q = r dt (2 pi f0)^6: with measurements every dt of variance r, the smoother's gain at frequency f is
 * (q / w^6) / (q / w^6 + r dt) = 1 / (1 + (f / f0)^6).
 *
 * The gains depend on times and variances alone, so they are computed once and serve every draw.
 */
export interface AxisGains {
  n: number;
  /** Steps between samples, units of tau; n - 1 entries. */
  steps: Float64Array;
  /** Relative measurement variances; Infinity where nothing was measured. */
  variances: Float64Array;
  /** Filter gains, 3 per sample. */
  filterGains: Float64Array;
  /** Smoother gains, 9 per sample, row by row; the last is unused. */
  smootherGains: Float64Array;
  /** Posterior variances of position, velocity, acceleration, 3 per sample. */
  posterior: Float64Array;
  /** Lower triangles of the process noise of each step: l00 l10 l11 l20 l21 l22. */
  processRoots: Float64Array;
}

/**
 * Prior variances of position about the first sample, velocity and acceleration, dimensionless: so wide that
 * they pull by less than a thousandth of the posterior's sigma, and no wider, since the gains of the first
 * samples lose three times as many digits to cancellation.
 */
const diffuse = 1e5;
/** A repeated time stamp is taken as this step, which keeps the prediction regular. */
const leastStep = 1e-6;

/** Symmetric 3 x 3 as [p00, p01, p02, p11, p12, p22]. */
type Sym = [number, number, number, number, number, number];

/** F P F' + Q with F = [1 h h2/2; 0 1 h; 0 0 1] and jerk of power density q. */
function predict([p00, p01, p02, p11, p12, p22]: Sym, h: number, q: number): Sym {
  const g = (h * h) / 2;
  const a01 = p01 + h * p11 + g * p12;
  const a02 = p02 + h * p12 + g * p22;
  const a12 = p12 + h * p22;
  const a11 = p11 + h * p12;
  const h3 = h * h * h;
  return [
    p00 + h * p01 + g * p02 + h * a01 + g * a02 + (q * h3 * h * h) / 20,
    a01 + h * a02 + (q * h3 * h) / 8,
    a02 + (q * h3) / 6,
    a11 + h * a12 + (q * h3) / 3,
    a12 + (q * h * h) / 2,
    p22 + q * h,
  ];
}

/** P F' P_next^-1, row by row, into `out` at `at`. */
function smootherGain(p: Sym, next: Sym, h: number, out: Float64Array, at: number): void {
  const [p00, p01, p02, p11, p12, p22] = p;
  const [n00, n01, n02, n11, n12, n22] = next;
  const g = (h * h) / 2;
  const c00 = n11 * n22 - n12 * n12;
  const c01 = n02 * n12 - n01 * n22;
  const c02 = n01 * n12 - n02 * n11;
  const c11 = n00 * n22 - n02 * n02;
  const c12 = n01 * n02 - n00 * n12;
  const c22 = n00 * n11 - n01 * n01;
  const det = n00 * c00 + n01 * c01 + n02 * c02;
  const rows = [p00, p01, p02, p01, p11, p12, p02, p12, p22];
  for (let r = 0; r < 3; r++) {
    const b2 = rows[3 * r + 2];
    const b1 = rows[3 * r + 1] + h * b2;
    const b0 = rows[3 * r] + h * rows[3 * r + 1] + g * b2;
    out[at + 3 * r] = (b0 * c00 + b1 * c01 + b2 * c02) / det;
    out[at + 3 * r + 1] = (b0 * c01 + b1 * c11 + b2 * c12) / det;
    out[at + 3 * r + 2] = (b0 * c02 + b1 * c12 + b2 * c22) / det;
  }
}

/**
 * (I - C F) P (I - C F)' + C (Q + S) C', S being the smoothed covariance of the next sample: a sum of squares,
 * where the usual P + C (S - P_next) C' takes a difference of numbers as large as the diffuse prior.
 */
function smoothCovariance(p: Sym, h: number, q: number, smoothed: Sym, c: Float64Array, at: number): Sym {
  const g = (h * h) / 2;
  const after = predict([0, 0, 0, 0, 0, 0], h, q).map((v, k) => v + smoothed[k]);
  const rows = [0, 1, 2].map((r) => {
    const [c0, c1, c2] = c.subarray(at + 3 * r, at + 3 * r + 3);
    const kept = [-c0, -(h * c0 + c1), -(g * c0 + h * c1 + c2)];
    kept[r] += 1;
    return { kept, gained: [c0, c1, c2] };
  });
  const entry = (r: number, k: number): number =>
    quadratic(rows[r].kept, p, rows[k].kept) + quadratic(rows[r].gained, after, rows[k].gained);
  return [entry(0, 0), entry(0, 1), entry(0, 2), entry(1, 1), entry(1, 2), entry(2, 2)];
}

/** a M b for a symmetric M. */
const quadratic = (a: number[], [m00, m01, m02, m11, m12, m22]: number[], b: number[]): number =>
  a[0] * (m00 * b[0] + m01 * b[1] + m02 * b[2]) +
  a[1] * (m01 * b[0] + m11 * b[1] + m12 * b[2]) +
  a[2] * (m02 * b[0] + m12 * b[1] + m22 * b[2]);

/**
 * Gains and posterior variances for samples `steps` apart (units of tau) with relative measurement
 * `variances`, the jerk's power density being `jerk`.
 */
export function axisGains(steps: Float64Array, variances: Float64Array, jerk: number): AxisGains {
  const n = variances.length;
  const filterGains = new Float64Array(3 * n);
  const smootherGains = new Float64Array(9 * n);
  const posterior = new Float64Array(3 * n);
  const processRoots = new Float64Array(6 * n);
  const filtered: Sym[] = [];
  const predicted: Sym[] = [];
  let p: Sym = [diffuse, 0, 0, diffuse, 0, diffuse];
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const h = Math.max(steps[i - 1], leastStep);
      p = predict(p, h, jerk);
      processRoot(h, jerk, processRoots, 6 * (i - 1));
    }
    predicted.push(p);
    const s = p[0] + variances[i];
    const [k0, k1, k2] = s < Infinity ? [p[0] / s, p[1] / s, p[2] / s] : [0, 0, 0];
    filterGains.set([k0, k1, k2], 3 * i);
    p = [
      p[0] - k0 * p[0],
      p[1] - k0 * p[1],
      p[2] - k0 * p[2],
      p[3] - k1 * p[1],
      p[4] - k1 * p[2],
      p[5] - k2 * p[2],
    ];
    filtered.push(p);
  }
  let smoothed = filtered[n - 1];
  posterior.set([smoothed[0], smoothed[3], smoothed[5]], 3 * (n - 1));
  for (let i = n - 2; i >= 0; i--) {
    const h = Math.max(steps[i], leastStep);
    smootherGain(filtered[i], predicted[i + 1], h, smootherGains, 9 * i);
    smoothed = smoothCovariance(filtered[i], h, jerk, smoothed, smootherGains, 9 * i);
    posterior.set([smoothed[0], smoothed[3], smoothed[5]], 3 * i);
  }
  return { n, steps, variances, filterGains, smootherGains, posterior, processRoots };
}

/** Lower triangle of the step's process noise, q [h5/20 h4/8 h3/6; . h3/3 h2/2; . . h], in closed form. */
function processRoot(h: number, q: number, out: Float64Array, at: number): void {
  const s = Math.sqrt(q * h);
  const h2 = h * h;
  out[at] = (s * h2) / Math.sqrt(20);
  out[at + 1] = (s * h * Math.sqrt(20)) / 8;
  out[at + 2] = (s * h) / Math.sqrt(48);
  out[at + 3] = (s * Math.sqrt(20)) / 6;
  out[at + 4] = s * Math.sqrt(48) * (1 / 2 - 20 / 48);
  out[at + 5] = s / 3;
}

/**
 * The posterior mean of position, velocity and acceleration (3 per sample) given `y`; entries of y
 * without a measurement are ignored.
 */
export function smoothAxis(
  gains: AxisGains,
  y: Float64Array,
  out = new Float64Array(3 * gains.n),
): Float64Array {
  const { n, steps, variances, filterGains: k, smootherGains: c } = gains;
  let p = y.find((_, i) => variances[i] < Infinity) ?? 0;
  let v = 0;
  let a = 0;
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const h = steps[i - 1];
      p += h * v + ((h * h) / 2) * a;
      v += h * a;
    }
    if (variances[i] < Infinity) {
      const innovation = y[i] - p;
      p += k[3 * i] * innovation;
      v += k[3 * i + 1] * innovation;
      a += k[3 * i + 2] * innovation;
    }
    out[3 * i] = p;
    out[3 * i + 1] = v;
    out[3 * i + 2] = a;
  }
  for (let i = n - 2; i >= 0; i--) {
    const h = steps[i];
    const at = 3 * i;
    const d0 = out[at + 3] - (out[at] + h * out[at + 1] + ((h * h) / 2) * out[at + 2]);
    const d1 = out[at + 4] - (out[at + 1] + h * out[at + 2]);
    const d2 = out[at + 5] - out[at + 2];
    const g = 9 * i;
    out[at] += c[g] * d0 + c[g + 1] * d1 + c[g + 2] * d2;
    out[at + 1] += c[g + 3] * d0 + c[g + 4] * d1 + c[g + 5] * d2;
    out[at + 2] += c[g + 6] * d0 + c[g + 7] * d1 + c[g + 8] * d2;
  }
  return out;
}
