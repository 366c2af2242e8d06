import { weightedMedian } from '../motion/statistics.ts';
import type { LensBow, UprightEdge } from '../contract/trace.ts';

/** Bows of lines in walls and racks themselves, and of edges that are not one line, px, one sigma (measured on rendered clips). */
const ownBowPx = 0.12;
/** Edges whose bow is off by more than this many sigmas from what most say are no straight things. */
const outlying = 3;
const fewest = 4;
/** A bow counts when it is so many sigmas from none, and strong enough to matter: 0.4 % of length at the picture's edge. */
const significant = 4;
const leastKappa = 0.004;

interface Picture {
  widthPx: number;
  heightPx: number;
}

/**
 * How much the lens bends straight lines, from how the background's upright edges bow. With a radial distortion
 * x' = x (1 + kappa r²) an upright edge at x with half its length h bows by -kappa x h² (all in half the picture's
 * longer side; polynomial model of Brown 1966, first term, from memory).
 *
 * @returns null where the edges bow no more than chance explains
 */
export function lensBow(edges: readonly UprightEdge[], picture: Picture): LensBow | null {
  const unit = Math.max(picture.widthPx, picture.heightPx) / 2;
  const cx = (picture.widthPx - 1) / 2;
  const lines = edges.map((e) => ({
    bow: e.bowPx,
    // What the edge would bow by, px, for a kappa of 1.
    lever: -(((e.xPx - cx) / unit) * (e.lengthPx / 2) ** 2) / unit,
    sigma: Math.hypot(e.bowSigmaPx, ownBowPx),
  }));
  // To begin with, what the middle edge says, each counting by how much it can tell.
  let kappa = weightedMedian(
    lines
      .filter((l) => l.lever !== 0)
      .map((l) => ({ value: l.bow / l.lever, weight: Math.abs(l.lever) / l.sigma })),
  );
  let kept = lines.filter((l) => Math.abs(l.bow - kappa * l.lever) < 2 * outlying * l.sigma);
  let sigma = Infinity;
  for (let round = 0; round < 4; round++) {
    const square = kept.reduce((s, l) => s + (l.lever / l.sigma) ** 2, 0);
    if (kept.length < fewest || !(square > 0)) return null;
    kappa = kept.reduce((s, l) => s + (l.lever * l.bow) / l.sigma ** 2, 0) / square;
    const scatter =
      kept.reduce((s, l) => s + ((l.bow - kappa * l.lever) / l.sigma) ** 2, 0) / (kept.length - 1);
    sigma = Math.sqrt(Math.max(1, scatter) / square);
    kept = lines.filter((l) => Math.abs(l.bow - kappa * l.lever) < outlying * l.sigma);
  }
  return Math.abs(kappa) > Math.max(leastKappa, significant * sigma) ? { kappa, sigma } : null;
}

/** Where a pinhole without distortion would show what the lens shows at a place, displayed px. */
export function straightened(
  bow: LensBow | undefined,
  picture: Picture,
  xPx: number,
  yPx: number,
): readonly [xPx: number, yPx: number] {
  if (!bow) return [xPx, yPx];
  const unit = Math.max(picture.widthPx, picture.heightPx) / 2;
  const x = (xPx - (picture.widthPx - 1) / 2) / unit;
  const y = (yPx - (picture.heightPx - 1) / 2) / unit;
  let k = 1;
  // The factor changes so slowly with the radius that a few rounds settle it.
  for (let round = 0; round < 15; round++) k = 1 / (1 + bow.kappa * k * k * (x * x + y * y));
  return [(picture.widthPx - 1) / 2 + k * x * unit, (picture.heightPx - 1) / 2 + k * y * unit];
}

/** Moves places where a pinhole without distortion would show what the lens shows there, displayed px. */
export function straightenAll(
  bow: LensBow | undefined,
  picture: Picture,
  { xPx, yPx }: { xPx: Float64Array; yPx: Float64Array },
): void {
  if (!bow) return;
  for (let k = 0; k < xPx.length; k++) [xPx[k], yPx[k]] = straightened(bow, picture, xPx[k], yPx[k]);
}

/** An upright edge as a straight lens shows it. */
export function unbent(edge: UprightEdge, bow: LensBow, picture: Picture): UprightEdge {
  const at = (along: number): readonly [number, number] => {
    const [dx, dy] = [along * Math.sin(edge.leanRad), -along * Math.cos(edge.leanRad)];
    return straightened(bow, picture, edge.xPx + dx, edge.yPx + dy);
  };
  // The tangent in the middle of an arc runs as its chord does.
  const [above, below] = [at(5), at(-5)];
  const [xPx, yPx] = at(0);
  return { ...edge, xPx, yPx, leanRad: Math.atan2(above[0] - below[0], below[1] - above[1]), bowPx: 0 };
}
