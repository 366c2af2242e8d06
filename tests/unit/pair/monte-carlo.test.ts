import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { deviation, mean } from 'd3-array';
import { monteCarlo, normal, rectangular, summarize } from '../../../shared-lib/pair/monte-carlo.ts';
import { seededRandom, type Random } from '../../../shared-lib/motion/random.ts';

const random = () => seededRandom(20240);
const u = (values: Float64Array) => deviation(values)!;

/** Student's t with whole degrees of freedom: a normal over the root of a mean square. */
const studentT = (dof: number) => (r: Random) => {
  const z = r.normal();
  let square = 0;
  for (let i = 0; i < dof; i++) square += r.normal() ** 2;
  return z / Math.sqrt(square / dof);
};

/** Correlated normals with the given means and covariance. */
function correlated(means: number[], covariance: number[][]) {
  const lower = new CholeskyDecomposition(new Matrix(covariance)).lowerTriangularMatrix;
  return (r: Random): number[] => {
    const z = Matrix.columnVector(means.map(() => r.normal()));
    return lower
      .mmul(z)
      .to1DArray()
      .map((d, i) => means[i] + d);
  };
}

function pearson(a: Float64Array, b: Float64Array): number {
  const [ma, mb] = [mean(a)!, mean(b)!];
  return a.reduce((s, x, i) => s + (x - ma) * (b[i] - mb), 0) / (a.length - 1) / u(a) / u(b);
}

describe('monteCarlo', () => {
  const sum = (...x: number[]) => x.reduce((a, b) => a + b, 0);
  const four = <T>(x: T): [T, T, T, T] => [x, x, x, x];

  it('adds four standard normals: u 2.0, 95 % within ± 3.92 (JCGM 101:2008, 9.2.2)', () => {
    const y = monteCarlo(sum, four(normal(0, 1)), 200_000, random());
    const { lo95, hi95 } = summarize(y)!;
    expect(u(y)).toBeCloseTo(2.0, 1);
    expect(lo95).toBeCloseTo(-3.92, 1);
    expect(hi95).toBeCloseTo(3.92, 1);
  });

  it('adds four rectangular quantities of sd 1: u 2.0, 95 % within ± 3.88 (JCGM 101:2008, 9.2.3)', () => {
    const y = monteCarlo(sum, four(rectangular(0, Math.sqrt(3))), 200_000, random());
    const { lo95, hi95 } = summarize(y)!;
    expect(u(y)).toBeCloseTo(2.0, 1);
    // Standard error of the ends is 0.01.
    expect(Math.abs(lo95 + 3.88)).toBeLessThan(0.03);
    expect(Math.abs(hi95 - 3.88)).toBeLessThan(0.03);
  });

  it('adds three of sd 1 and one of sd 10: u 10.1, 95 % within ± 17.0 where ± 2 u says 19.9 (9.2.4, remembered)', () => {
    const r = rectangular(0, Math.sqrt(3));
    const y = monteCarlo(sum, [r, r, r, rectangular(0, 10 * Math.sqrt(3))] as const, 200_000, random());
    const { lo95, hi95 } = summarize(y)!;
    expect(u(y)).toBeCloseTo(10.1, 0);
    expect(Math.abs(lo95 + 17.0)).toBeLessThan(0.1);
    expect(Math.abs(hi95 - 17.0)).toBeLessThan(0.1);
  });

  it('keeps the skew of log(x) for x rectangular from 0.1 to 1.1: mean -0.665, u 0.606 (NPL DEM-ES-011, 9.2)', () => {
    const y = monteCarlo(Math.log, [rectangular(0.6, 0.5)] as const, 200_000, random());
    expect(Math.abs(mean(y)! + 0.665)).toBeLessThan(0.005);
    expect(Math.abs(u(y) - 0.606)).toBeLessThan(0.005);
    // Probabilistically symmetric interval in closed form: log(0.125) and log(1.075).
    const { lo95, hi95 } = summarize(y)!;
    expect(Math.abs(lo95 - Math.log(0.125))).toBeLessThan(0.015);
    expect(Math.abs(hi95 - Math.log(1.075))).toBeLessThan(0.003);
  });

  it('measures an end gauge: 50 000 838 nm, u 34 nm with the terms of second order (JCGM 100:2008, H.1)', () => {
    const y = monteCarlo(
      (ls, d, alphaS, thetaMean, thetaCycle, dAlpha, dTheta) =>
        ls + d - ls * (dAlpha * (thetaMean + thetaCycle) + alphaS * dTheta),
      [
        normal(50_000_623, 25),
        normal(215, 9.68),
        rectangular(11.5e-6, 2e-6),
        normal(-0.1, 0.2),
        (r: Random) => 0.5 * Math.sin(2 * Math.PI * r.uniform()),
        rectangular(0, 1e-6),
        rectangular(0, 0.05),
      ] as const,
      200_000,
      random(),
    );
    expect(Math.abs(mean(y)! - 50_000_838)).toBeLessThan(0.5);
    expect(u(y)).toBeGreaterThan(33.5);
    expect(u(y)).toBeLessThan(34.5);
  });

  it('carries correlated inputs to impedance: R 127.732(71), X 219.847(295), Z 254.260(236) (H.2)', () => {
    const V = [5.007, 4.994, 5.005, 4.99, 4.999];
    const I = [19.663, 19.639, 19.64, 19.685, 19.678].map((mA) => mA / 1000);
    const phi = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
    const data = [V, I, phi];
    const means = data.map((c) => mean(c)!);
    const covarianceOfMeans = data.map((a, i) =>
      data.map((b, j) => a.reduce((s, x, k) => s + (x - means[i]) * (b[k] - means[j]), 0) / 4 / 5),
    );
    const draws = 200_000;
    const input = [correlated(means, covarianceOfMeans)] as const;
    const R = monteCarlo(([v, i, p]) => (v / i) * Math.cos(p), input, draws, random());
    const X = monteCarlo(([v, i, p]) => (v / i) * Math.sin(p), input, draws, random());
    const Z = monteCarlo(([v, i]) => v / i, input, draws, random());
    for (const [y, value, sigma] of [
      [R, 127.7322, 0.0711],
      [X, 219.8465, 0.2956],
      [Z, 254.2597, 0.2363],
    ] as const) {
      expect(Math.abs(mean(y)! - value)).toBeLessThan(0.003);
      expect(Math.abs(u(y) / sigma - 1)).toBeLessThan(0.01);
    }
    // The same seed draws the same inputs, so the results are joint.
    expect(pearson(R, X)).toBeCloseTo(-0.588, 2);
    expect(pearson(R, Z)).toBeCloseTo(-0.485, 2);
    expect(pearson(X, Z)).toBeCloseTo(0.993, 2);
  });

  it('predicts from a fitted line: b(30) = -0.1494(41) with 9 degrees of freedom (H.3)', () => {
    const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
    const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const design = new Matrix(t.map((x) => [1, x - 20]));
    const inverse = new Matrix(
      [0, 1].map((i) => {
        const [[p, q], [, s]] = design.transpose().mmul(design).to2DArray();
        const det = p * s - q * q;
        return i === 0 ? [s / det, -q / det] : [-q / det, p / det];
      }),
    );
    const fit = inverse.mmul(design.transpose()).mmul(Matrix.columnVector(b)).to1DArray();
    const residuals = b.map((y, i) => y - fit[0] - fit[1] * (t[i] - 20));
    const s2 = residuals.reduce((s, r) => s + r * r, 0) / 9;
    expect(fit[0]).toBeCloseTo(-0.17120379, 7);
    expect(fit[1]).toBeCloseTo(0.0021827, 7);
    expect(Math.sqrt(s2)).toBeCloseTo(0.0034976, 6);

    const y30 = ([y1, y2]: number[]) => y1 + 10 * y2;
    const input = [correlated(fit, inverse.mul(s2).to2DArray())] as const;
    const y = monteCarlo(y30, input, 200_000, random());
    expect(Math.abs(mean(y)! + 0.1493768)).toBeLessThan(5e-5);
    expect(Math.abs(u(y) / 0.0041386 - 1)).toBeLessThan(0.01);
  });

  it('draws t with 16 degrees of freedom wide enough for the 95 % factor 2.120', () => {
    const { lo95, hi95 } = summarize(monteCarlo((x) => x, [studentT(16)] as const, 100_000, random()))!;
    expect(Math.abs((hi95 - lo95) / 2 - 2.12)).toBeLessThan(0.04);
  });
});

describe('summarize', () => {
  it('leaves undefined draws out and counts the rest', () => {
    expect(summarize(Float64Array.of(1, NaN, 3))).toMatchObject({ count: 2, median: 2 });
  });
  it('is null where nothing is defined', () => {
    expect(summarize(Float64Array.of(NaN, NaN))).toBeNull();
    expect(summarize(new Float64Array(0))).toBeNull();
  });
});
