import { curveMonotoneY, line, type CurveFactory } from 'd3-shape';
import type { Handle } from '../contract/coaching.ts';

/** How a wished path is drawn between its handles, and therefore what it is between them: no loop, no overshoot. */
export const wishedCurve: CurveFactory = curveMonotoneY;

/** A stretch between two handles: x by the four Bezier weights, height even in the parameter. */
interface Stretch {
  fromYM: number;
  toYM: number;
  xM: readonly [number, number, number, number];
}

/**
 * The smooth way through handles: x in metres at a height in metres, null above the highest and below the lowest. Null
 * for fewer than two heights.
 *
 * Monotone cubics in height (Steffen 1990, Astron Astrophys 239:443-450, as d3-shape draws them).
 */
export function smoothWay(handles: readonly Handle[]): ((yM: number) => number | null) | null {
  const ordered = atOwnHeights(handles);
  if (ordered.length < 2) return null;
  const stretches = stretchesOf(ordered);
  return (yM) => {
    const stretch = stretches.find(({ fromYM, toYM }) => yM >= fromYM && yM <= toYM);
    if (!stretch) return null;
    const t = (yM - stretch.fromYM) / (stretch.toYM - stretch.fromYM);
    const u = 1 - t;
    const [a, b, c, d] = stretch.xM;
    return u ** 3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t ** 3 * d;
  };
}

/** Of handles closer in height than this the lower counts, metres. */
export const nearestHandlesM = 0.01;

/** Handles from the lowest up, one at a height. */
export function atOwnHeights(handles: readonly Handle[]): Handle[] {
  const kept: Handle[] = [];
  for (const handle of [...handles].sort((a, b) => a.yM - b.yM)) {
    const below = kept.at(-1);
    if (!below || handle.yM - below.yM >= nearestHandlesM) kept.push(handle);
  }
  return kept;
}

/** The pieces that the drawing library makes of a curve. With control points at thirds, height is even in each piece. */
function stretchesOf(handles: readonly Handle[]): Stretch[] {
  const out: Stretch[] = [];
  let [x0, y0] = [0, 0];
  const arrive = (x: number, y: number): void => void ([x0, y0] = [x, y]);
  const pen = {
    moveTo: arrive,
    lineTo(x: number, y: number) {
      out.push({ fromYM: y0, toYM: y, xM: [x0, (2 * x0 + x) / 3, (x0 + 2 * x) / 3, x] });
      arrive(x, y);
    },
    bezierCurveTo(x1: number, _y1: number, x2: number, _y2: number, x: number, y: number) {
      out.push({ fromYM: y0, toYM: y, xM: [x0, x1, x2, x] });
      arrive(x, y);
    },
    closePath: () => undefined,
  };
  line<Handle>((h) => h.xM, (h) => h.yM) // prettier-ignore
    .curve(wishedCurve)
    .context(pen as unknown as CanvasRenderingContext2D)([...handles]);
  return out;
}

/** Heights of the handles that a measured way is turned into, as shares of its travel. */
const shares = [0, 0.25, 0.5, 0.75, 1];

/** Handles on a measured way, to start drawing from. Heights must rise or fall throughout. */
export function handlesOn(points: readonly Handle[]): Handle[] {
  if (points.length < 2) return [];
  const ordered = [...points].sort((a, b) => a.yM - b.yM);
  const [lowM, highM] = [ordered[0].yM, ordered.at(-1)!.yM];
  return shares.map((share) => {
    const yM = lowM + share * (highM - lowM);
    const nearest = ordered.reduce((best, p) => (Math.abs(p.yM - yM) < Math.abs(best.yM - yM) ? p : best));
    return { xM: nearest.xM, yM };
  });
}
