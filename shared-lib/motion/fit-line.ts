import tQuantile from '@stdlib/stats-base-dists-t-quantile';

/** A straight line through points by least squares, and what it is worth. */
export interface Line {
  n: number;
  intercept: number;
  slope: number;
  /** Standard deviation of the points round the line, n - 2 degrees of freedom. */
  sd: number;
  meanX: number;
  /** Sum of the squared distances of x from its mean. */
  sxx: number;
}

/** Ordinary least squares (JCGM 100:2008, H.3); null for fewer than three points or one x only. */
export function fitLine(x: readonly number[], y: readonly number[]): Line | null {
  const n = x.length;
  if (n < 3) return null;
  const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / n;
  const [meanX, meanY] = [mean(x), mean(y)];
  const sxx = x.reduce((s, v) => s + (v - meanX) ** 2, 0);
  if (!(sxx > 0)) return null;
  const slope = x.reduce((s, v, i) => s + (v - meanX) * (y[i] - meanY), 0) / sxx;
  const intercept = meanY - slope * meanX;
  const rss = y.reduce((s, v, i) => s + (v - intercept - slope * x[i]) ** 2, 0);
  return { n, intercept, slope, sd: Math.sqrt(rss / (n - 2)), meanX, sxx };
}

/** Standard uncertainty of the line's height at x (JCGM 100:2008, H.3.4). */
export const lineSigma = ({ sd, n, meanX, sxx }: Line, x: number): number =>
  sd * Math.sqrt(1 / n + (x - meanX) ** 2 / sxx);

/**
 * 95 % prediction interval of the difference of one new point at `to` and one at `from`: each scatters as the points do,
 * and the slope is no surer than they make it.
 */
export function differenceInterval(
  line: Line,
  from: number,
  to: number,
): { value: number; lo95: number; hi95: number } {
  const value = line.slope * (to - from);
  const half = tQuantile(0.975, line.n - 2) * line.sd * Math.sqrt(2 + (to - from) ** 2 / line.sxx);
  return { value, lo95: value - half, hi95: value + half };
}
