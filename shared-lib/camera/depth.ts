import { mean as meanOf, median } from 'd3-array';

/** Positions (px) at which the rim's radius (px) was measured; all of one picture's pixels. */
export interface RimSizes {
  xPx: number[];
  yPx: number[];
  radiusPx: number[];
}

/**
 * How near the disc is along its path: at q = (x - x0, y - y0) it looks 1 + kx qx + ky qy times as large as at
 * (x0, y0). Seen through a pinhole the inverse depth of a plane is exactly such a linear function of the
 * picture's coordinates (Hartley & Zisserman, Multiple View Geometry, chapter 8).
 */
export interface Nearness {
  /** The median position: where a rim that was pooled over the clip shows its shape. */
  x0Px: number;
  y0Px: number;
  kxPerPx: number;
  kyPerPx: number;
  /** How much larger than the pooled rim it looks at (x0, y0). */
  size: number;
}

export function nearnessAt(n: Nearness, xPx: number, yPx: number): number {
  return 1 + n.kxPerPx * (xPx - n.x0Px) + n.kyPerPx * (yPx - n.y0Px);
}

/** A slope counts from this many of its own sigmas on. */
const significant = 3;
const fewest = 12;

/**
 * Nearness from the rim's size along the path, with only the slopes that the sizes support. The slopes are
 * taken along the path's principal axes, where their estimates are independent; neighbouring residuals
 * that go together widen the sigmas. Where no slope counts, the pooled rim holds everywhere.
 *
 * @param rimRadiusPx the pooled rim's radius, measured as the sizes are
 */
export function fitNearness(sizes: RimSizes, rimRadiusPx: number): Nearness {
  const n = sizes.radiusPx.length;
  const [x0Px, y0Px] = [median(sizes.xPx) ?? 0, median(sizes.yPx) ?? 0];
  const flat = { x0Px, y0Px, kxPerPx: 0, kyPerPx: 0, size: 1 };
  if (n < fewest) return flat;
  const [meanX, meanY, meanRadius] = [meanOf(sizes.xPx)!, meanOf(sizes.yPx)!, meanOf(sizes.radiusPx)!];
  const x = sizes.xPx.map((v) => v - meanX);
  const y = sizes.yPx.map((v) => v - meanY);
  const growth = sizes.radiusPx.map((r) => r / meanRadius - 1);
  const sum = (f: (i: number) => number): number => x.reduce((s, _, i) => s + f(i), 0);
  const turn =
    Math.atan2(
      2 * sum((i) => x[i] * y[i]),
      sum((i) => x[i] * x[i] - y[i] * y[i]),
    ) / 2;
  const slopes = [turn, turn + Math.PI / 2].map((direction) => {
    const c = Math.cos(direction);
    const s = Math.sin(direction);
    const along = x.map((v, i) => c * v + s * y[i]);
    const square = sum((i) => along[i] * along[i]);
    return { c, s, along, square, slope: square > 0 ? sum((i) => along[i] * growth[i]) / square : 0 };
  });
  const residual = growth.map((g, i) => g - slopes.reduce((t, { slope, along }) => t + slope * along[i], 0));
  const variance = sum((i) => residual[i] ** 2) / (n - 3);
  const together = clampTogether(sum((i) => (i ? residual[i] * residual[i - 1] : 0)) / ((n - 3) * variance));
  const kept = slopes.filter(
    ({ slope, square }) =>
      square > 0 &&
      Math.abs(slope) > significant * Math.sqrt((variance * (1 + together)) / ((1 - together) * square)),
  );
  const gx = kept.reduce((t, { slope, c }) => t + slope * c, 0);
  const gy = kept.reduce((t, { slope, s }) => t + slope * s, 0);
  if (gx === 0 && gy === 0) return flat;
  // The radius is measured along the vertical. Where depth changes along it too, the rim's vertical extent is
  // foreshortened by the same ratio again, so that it goes with nearness to the power 1 + (share of the vertical)².
  const power = 1 + (gy * gy) / (gx * gx + gy * gy);
  const fromMean = gx * (x0Px - meanX) + gy * (y0Px - meanY);
  const near = 1 + fromMean / power;
  const size = (meanRadius * (1 + fromMean)) / rimRadiusPx;
  return { x0Px, y0Px, kxPerPx: gx / power / near, kyPerPx: gy / power / near, size };
}

/** Lag-one correlation as far as it widens a sigma; a series of one value has none. */
function clampTogether(correlation: number): number {
  return Number.isFinite(correlation) ? Math.min(0.95, Math.max(0, correlation)) : 0;
}
