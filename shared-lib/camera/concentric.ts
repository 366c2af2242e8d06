import type { DiscEdges } from './disc-outline.ts';
import { cross, dot, onPlane, unit, type Lens, type Plane, type Vec3 } from './pinhole.ts';

/** A view's edges and where its near face's centre is taken to be, as a straight lens shows them, px. */
export interface EdgesAbout {
  edges: DiscEdges;
  centre: { xPx: number; yPx: number };
}

/** The turn and the shift of a disc under which the edges on its face lie on concentric circles, and those circles. */
export interface Concentric {
  turn: Turn;
  /** Of the centre, along the plane's axes, as a share of the radius. */
  shift: readonly [right: number, down: number];
  /** Radii of the circles on which most edges lie, shares of the radius given, largest first, and their weight. */
  circles: { share: number; weight: number }[];
}

interface Turn {
  yawRad: number;
  pitchRad: number;
}

const rad = Math.PI / 180;
/** Hubs stand out of the face, and beyond the rim lie the disc's side and scenery. */
const leastShare = 0.35;
const mostShare = 1.12;
const binShare = 0.004;
const bins = Math.ceil((mostShare - leastShare) / binShare);
/** What is tried at first, and how far steps shrink: turns, and shifts as shares of the radius (set by judgement on rendered clips). */
const firstTurns = [-4, -2, 0, 2, 4].map((degrees) => degrees * rad);
const firstShifts = [-0.02, -0.01, 0, 0.01, 0.02];
const lastTurnRad = 0.25 * rad;
/** A circle shows on at least this share of the rays of all views. */
const leastShown = 0.12;

/** Axes of a plane that the camera sees: to the right and down. */
export function axesOf({ normal }: Plane): readonly [right: Vec3, down: Vec3] {
  const right = unit(cross(normal, [0, 1, 0]));
  return [right, cross(normal, right)];
}

/**
 * How a disc must be turned and its centre shifted for its edges to lie on as few concentric circles as can be, whichever
 * of them is the rim: a rim taken for a lip on one side makes every ring on the face a smear, and true angles make all of
 * them lines. Sharpness is the sum of squares of the edges' weights by radius, a kernel estimate of quadratic entropy
 * (Principe 2010, Information Theoretic Learning, section 2.4, from memory).
 *
 * @param planeOf the plane for a change of yaw and pitch
 * @param raysOf rays of one view
 */
export function concentric(
  views: readonly EdgesAbout[],
  lens: Lens,
  planeOf: (turn: Turn) => Plane,
  radiusM: number,
  raysOf: number,
): Concentric {
  const size = views.reduce((sum, { edges }) => sum + edges.xPx.length, 0);
  const [right, down] = [new Float64Array(size), new Float64Array(size)];
  const weight = new Float64Array(size);
  let from = 0;
  for (const { edges } of views) {
    weight.set(edges.weight, from);
    from += edges.weight.length;
  }
  const place = (turn: Turn): void => {
    const plane = planeOf(turn);
    const [e1, e2] = axesOf(plane);
    let i = 0;
    for (const { edges, centre } of views) {
      const at = onPlane(lens, plane, centre.xPx, centre.yPx);
      for (let k = 0; k < edges.xPx.length; k++, i++) {
        const q = onPlane(lens, plane, edges.xPx[k], edges.yPx[k]);
        const from: Vec3 = [q[0] - at[0], q[1] - at[1], q[2] - at[2]];
        right[i] = dot(from, e1) / radiusM;
        down[i] = dot(from, e2) / radiusM;
      }
    }
  };
  const shown = new Float64Array(bins + 1);
  const count = (shiftRight: number, shiftDown: number): void => {
    shown.fill(0);
    for (let i = 0; i < size; i++) {
      const [x, y] = [right[i] - shiftRight, down[i] - shiftDown];
      const at = (Math.sqrt(x * x + y * y) - leastShare) / binShare;
      if (!(at >= 0 && at < bins)) continue;
      const bin = at | 0;
      shown[bin] += weight[i] * (bin + 1 - at);
      shown[bin + 1] += weight[i] * (at - bin);
    }
  };
  const sharpness = (shiftRight: number, shiftDown: number): number => {
    count(shiftRight, shiftDown);
    let sum = 0;
    for (let k = 1; k < bins; k++) sum += ((shown[k - 1] + 2 * shown[k] + shown[k + 1]) / 4) ** 2;
    return sum;
  };

  let best = { sharp: -1, at: [0, 0, 0, 0] };
  for (const yawRad of firstTurns)
    for (const pitchRad of firstTurns) {
      place({ yawRad, pitchRad });
      for (const x of firstShifts)
        for (const y of firstShifts) {
          const sharp = sharpness(x, y);
          if (sharp > best.sharp) best = { sharp, at: [yawRad, pitchRad, x, y] };
        }
    }
  // Step by step along each axis, halved where none helps.
  const step = [1 * rad, 1 * rad, 0.005, 0.005];
  while (step[0] >= lastTurnRad) {
    let moved = false;
    for (let a = 0; a < 4; a++)
      for (const sign of [1, -1]) {
        const at = best.at.with(a, best.at[a] + sign * step[a]);
        place({ yawRad: at[0], pitchRad: at[1] });
        const sharp = sharpness(at[2], at[3]);
        if (sharp <= best.sharp) continue;
        best = { sharp, at };
        moved = true;
      }
    if (!moved) step.forEach((s, a) => (step[a] = s / 2));
  }
  const [yawRad, pitchRad, x, y] = best.at;
  place({ yawRad, pitchRad });
  count(x, y);
  const circles: Concentric['circles'] = [];
  for (let k = bins - 2; k > 1; k--) {
    const here = shown[k - 1] + shown[k] + shown[k + 1];
    const before = shown[k] + shown[k + 1] + (shown[k + 2] ?? 0);
    const after = shown[k - 2] + shown[k - 1] + shown[k];
    if (here < leastShown * raysOf * views.length || here < before || here <= after) continue;
    const middle = (shown[k + 1] - shown[k - 1]) / here;
    circles.push({
      share: leastShare + (k + middle) * binShare,
      weight: here / (raysOf * views.length),
    });
  }
  return { turn: { yawRad, pitchRad }, shift: [x, y], circles };
}
