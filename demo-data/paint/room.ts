import { rayOf, type Camera } from '../scene/camera.ts';
import type { Layout } from '../scene/layout.ts';
import type { GymSpec, SceneSpec } from '../scene/spec.ts';
import { sub } from '../scene/vec.ts';
import { linearOf, type Rgb } from './colour.ts';
import { cloud2, noise2, pick2 } from './noise.ts';

/** A soft dark patch on the floor: an ellipse, metres, with the share of light it takes at its middle. */
export interface FloorShadow {
  xM: number;
  zM: number;
  halfXM: number;
  halfZM: number;
  depth: number;
}

type Paint = (aM: number, bM: number, out: Float32Array) => void;

const mixInto = (out: Float32Array, c: Rgb, k: number): void => {
  for (let i = 0; i < 3; i++) out[i] = c[i] * k;
};

/** Distance to the nearer edge of a cell of given size, and the cell's number. */
const cell = (v: number, size: number): { index: number; edgeM: number } => {
  const s = v / size;
  const index = Math.floor(s);
  const f = s - index;
  return { index, edgeM: Math.min(f, 1 - f) * size };
};

const ramp = (v: number, lo: number, hi: number): number => Math.min(Math.max((v - lo) / (hi - lo), 0), 1);

function wallPaint(gym: GymSpec, seed: number): Paint {
  const base = linearOf(gym.wallColour);
  const stripe = linearOf(gym.padColour);
  const grout: Rgb = [base[0] * 0.55 + 0.05, base[1] * 0.55 + 0.05, base[2] * 0.55 + 0.05];
  const courses: Record<GymSpec['wall'], Paint> = {
    brick: (x, y, out) => laid(x, y, 0.225, 0.075, 0.012, 0.28, out),
    blocks: (x, y, out) => laid(x, y, 0.44, 0.2, 0.008, 0.1, out),
    tiles: (x, y, out) => laid(x, y, 0.15, 0.15, 0.006, 0.06, out),
    panels: (x, y, out) => laid(x, y, 0.6, 2.4, 0.014, 0.16, out),
    concrete: (x, y, out) => {
      laid(x, y, 2.5, 1.25, 0.012, 0.08, out);
      // Holes that the shuttering's ties left.
      const hole = Math.hypot(cell(x + 0.6, 1.25).edgeM, cell(y + 0.3, 0.625).edgeM);
      mixInto(out, [out[0], out[1], out[2]], 0.35 + 0.65 * ramp(hole, 0.015, 0.02));
    },
    boards: (x, y, out) => laid(x, y, 1.83, 0.16, 0.006, 0.22, out),
    paint: (x, y, out) => {
      const k = 0.9 + 0.2 * (cloud2(x * 1.3, y * 1.3, 3, seed) - 0.5) + 0.06 * noise2(x * 60, y * 60, seed);
      // A band of the club's colour along the wall.
      const band = ramp(y, 1.28, 1.285) * (1 - ramp(y, 1.42, 1.425));
      for (let i = 0; i < 3; i++) out[i] = k * (base[i] + band * (0.7 * stripe[i] - base[i]));
    },
  };
  const laid = (
    x: number,
    y: number,
    w: number,
    h: number,
    joint: number,
    vary: number,
    out: Float32Array,
  ): void => {
    const row = cell(y, h);
    const column = cell(
      x + (row.index % 2 === 0 ? 0 : w * 0.5) + (w > 1 ? pick2(row.index, 3, seed) * w : 0),
      w,
    );
    const tone = 1 - vary / 2 + vary * pick2(column.index, row.index, seed);
    const rough = 0.85 + 0.3 * cloud2(x * 18, y * 18, 3, seed + 5);
    const stone = ramp(Math.min(row.edgeM, column.edgeM), joint * 0.35, joint * 0.7);
    for (let i = 0; i < 3; i++) out[i] = rough * (grout[i] + stone * (base[i] * tone - grout[i]));
  };
  const course = courses[gym.wall];
  const skirting: Rgb = [0.03, 0.03, 0.03];
  return (x, y, out) => {
    course(x, y, out);
    if (y < 0.12) mixInto(out, skirting, 1);
    if (gym.windows && paintWindow(x, y, out)) return;
    // Brighter under the lamps, darker toward floor and ceiling.
    const fromLamp = ((((x - 1.1) % 3.4) + 3.4) % 3.4) - 1.7;
    const pool = 0.88 + 0.14 * Math.exp(-(fromLamp * fromLamp) / 1.4);
    const height = (0.6 + 0.4 * ramp(y, 0, 1.4)) * (1 - 0.25 * ramp(y, 2.6, 4.2));
    const stain = 0.9 + 0.2 * cloud2(x * 0.8, y * 0.8, 4, seed + 9);
    for (let i = 0; i < 3; i++) out[i] *= pool * height * stain;
  };
}

/** A row of windows high in the wall, daylight behind bars; false where the wall is. */
function paintWindow(x: number, y: number, out: Float32Array): boolean {
  const period = 2.15;
  const column = cell(x + 0.55, period);
  const inX = x + 0.55 - column.index * period;
  const [left, right, low, high] = [0.5, 1.65, 2.3, 3.02];
  const inside = Math.min(inX - left, right - inX, y - low, high - y);
  if (inside < -0.045) return false;
  const third = (right - left) / 3;
  const pane = Math.min(
    Math.abs(inX - left - third),
    Math.abs(inX - left - 2 * third),
    Math.abs(y - (low + high) / 2),
  );
  const bar = inside < 0 || pane < 0.013;
  const sky = 0.62 + 0.35 * ramp(y, low, high) - 0.3 * cloud2(x * 0.9, y * 0.9, 3, 77);
  out[0] = bar ? 0.045 : sky * 0.88;
  out[1] = bar ? 0.047 : sky * 0.96;
  out[2] = bar ? 0.05 : sky;
  return true;
}

/** Rubber tiles; with a lifting platform, boards in the middle of it and a frame round it. */
function floorPaint(
  gym: GymSpec,
  seed: number,
  shadows: readonly FloorShadow[],
  platformZ: number | null,
): Paint {
  const base = linearOf(gym.floorColour);
  const wood = linearOf('#b98d5e');
  return (x, z, out) => {
    const wear = 0.75 + 0.5 * cloud2(x * 2.2, z * 2.2, 4, seed + 21);
    const across = platformZ === null ? Infinity : Math.abs(z - platformZ);
    if (across < 0.56 && Math.abs(x) < 1.2) {
      const board = cell(z, 0.14);
      const grain = 0.75 + 0.5 * cloud2(x * 1.5 + 9 * board.index, z * 45, 3, seed + 31);
      const joint = 0.6 + 0.4 * ramp(board.edgeM, 0.001, 0.004);
      for (let i = 0; i < 3; i++) out[i] = wood[i] * 0.62 * grain * joint;
    } else {
      const edge = across < 1.24 && Math.abs(x) < 1.24 && (across > 1.18 || Math.abs(x) > 1.2);
      const joint =
        0.55 + 0.45 * ramp(Math.min(cell(x + 0.3, 1).edgeM, cell(z + 0.2, 1).edgeM), 0.002, 0.006);
      const fleck = pick2(Math.floor(x * 160), Math.floor(z * 160), seed) > 0.955 ? 0.09 : 0;
      for (let i = 0; i < 3; i++) out[i] = edge ? 0.25 * wear : joint * (base[i] * wear + fleck);
    }
    let light = 0.8 + 0.25 * ramp(z, -2.5, 0.5);
    for (const s of shadows) {
      const d = Math.hypot((x - s.xM) / s.halfXM, (z - s.zM) / s.halfZM);
      const k = 1 - ramp(d, 0.25, 1.3);
      light *= 1 - s.depth * k * k * (3 - 2 * k);
    }
    for (let i = 0; i < 3; i++) out[i] *= light;
  };
}

const turnedGrid = [-0.375, -0.125, 0.125, -0.375, 0.375, 0.125, -0.125, 0.375];

/**
 * Floor and back wall as linear RGB, every pixel cast into the scene; four rays a pixel, so that joints do not
 * step. A still picture, made once for a clip.
 */
export function paintRoom(
  camera: Camera,
  { gym, lift }: SceneSpec,
  layout: Layout,
  shadows: readonly FloorShadow[],
  widthPx: number,
  heightPx: number,
): Float32Array {
  const picture = new Float32Array(widthPx * heightPx * 3);
  const wall = wallPaint(gym, gym.seed);
  const floor = floorPaint(gym, gym.seed, shadows, lift === 'deadlift' ? layout.middleZ : null);
  const [eyeX, eyeY, eyeZ] = camera.at;
  const toWall = -gym.wallBehindM - eyeZ;
  const out = new Float32Array(3);
  // A ray is linear in the pixel: one at the corner and the two steps.
  const corner = rayOf(camera, 0, 0);
  const stepX = sub(rayOf(camera, 1, 0), corner);
  const stepY = sub(rayOf(camera, 0, 1), corner);
  for (let j = 0; j < heightPx; j++) {
    for (let i = 0; i < widthPx; i++) {
      const at = (j * widthPx + i) * 3;
      for (let k = 0; k < 4; k++) {
        // A turned grid, so that no two rays share a row or a column.
        const a = i + turnedGrid[2 * k];
        const b = j + turnedGrid[2 * k + 1];
        const dx = corner[0] + a * stepX[0] + b * stepY[0];
        const dy = corner[1] + a * stepX[1] + b * stepY[1];
        const dz = corner[2] + a * stepX[2] + b * stepY[2];
        const tWall = toWall / dz;
        const tFloor = dy < 0 ? -eyeY / dy : Infinity;
        if (tFloor < tWall) floor(eyeX + tFloor * dx, eyeZ + tFloor * dz, out);
        else wall(eyeX + tWall * dx, eyeY + tWall * dy, out);
        for (let c = 0; c < 3; c++) picture[at + c] += out[c] / 4;
      }
    }
  }
  return picture;
}
