import type { DiscEdges } from './disc-outline.ts';
import { cross, onPlane, unit, type Lens, type Plane, type Vec3 } from './pinhole.ts';
import { ringCounter } from './ring-count.ts';

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
const farthestShift = Math.SQRT2 * Math.max(...firstShifts);
/** What a sum of squares may be off by. */
const ofRounding = 1e-9;
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
  const most = views.reduce((sum, { edges }) => sum + edges.xPx.length, 0);
  const { right, down, weight, count } = ringCounter(most, { least: leastShare, binShare, bins });
  /** Sets down the edges that may lie on a circle about centres as far as this from the one that is taken. @returns how many */
  const place = (turn: Turn, reach: number): number => {
    const plane = planeOf(turn);
    const [[rx, ry, rz], [dx, dy, dz]] = axesOf(plane);
    const [nx, ny, nz] = plane.normal;
    const nearest = Math.max(0, leastShare - reach) ** 2;
    const farthest = (leastShare + bins * binShare + reach) ** 2;
    let size = 0;
    for (const { edges, centre } of views) {
      const { xPx, yPx } = edges;
      const [ax, ay, az] = onPlane(lens, plane, centre.xPx, centre.yPx);
      for (let k = 0; k < xPx.length; k++) {
        // As `onPlane` has it, written out: poses are fitted with millions of edges.
        const x = (xPx[k] - lens.cxPx) / lens.focalPx;
        const y = (yPx[k] - lens.cyPx) / lens.focalPx;
        const depth = -plane.distanceM / (nx * x + ny * y + nz);
        const [fx, fy, fz] = [x * depth - ax, y * depth - ay, depth - az];
        const alongRight = (fx * rx + fy * ry + fz * rz) / radiusM;
        const alongDown = (fx * dx + fy * dy + fz * dz) / radiusM;
        const square = alongRight * alongRight + alongDown * alongDown;
        if (square < nearest || square > farthest) continue;
        right[size] = alongRight;
        down[size] = alongDown;
        weight[size++] = edges.weight[k];
      }
    }
    return size;
  };
  const sharpness = (size: number, shiftRight: number, shiftDown: number): number => {
    const shown = count(size, shiftRight, shiftDown);
    let sum = 0;
    for (let k = 1; k < bins; k++) {
      const about = (shown[k - 1] + 2 * shown[k] + shown[k + 1]) / 4;
      sum += about * about;
    }
    return sum;
  };
  const placed = ([yawRad, pitchRad, x, y]: readonly number[]): number =>
    place({ yawRad, pitchRad }, Math.hypot(x, y) + ofRounding);

  let best = { sharp: -1, at: [0, 0, 0, 0] };
  for (const yawRad of firstTurns)
    for (const pitchRad of firstTurns) {
      const size = place({ yawRad, pitchRad }, farthestShift + ofRounding);
      for (const x of firstShifts)
        for (const y of firstShifts) {
          const sharp = sharpness(size, x, y);
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
        const sharp = sharpness(placed(at), at[2], at[3]);
        if (sharp <= best.sharp) continue;
        best = { sharp, at };
        moved = true;
      }
    if (!moved) step.forEach((s, a) => (step[a] = s / 2));
  }
  const [yawRad, pitchRad, x, y] = best.at;
  const shown = count(placed(best.at), x, y);
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
