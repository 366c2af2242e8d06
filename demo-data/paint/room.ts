import { rayOf, type Camera } from '../scene/camera.ts';
import type { GymSpec } from '../scene/spec.ts';
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
    // Pools of light from the lamps, and darker toward floor and ceiling.
    const fromLamp = ((((x - 1.1) % 2.6) + 2.6) % 2.6) - 1.3;
    const pool = 0.75 + 0.3 * Math.exp(-(fromLamp * fromLamp) / 0.8);
    const height = (0.55 + 0.45 * ramp(y, 0, 1.6)) * (1 - 0.3 * ramp(y, 2.4, 4));
    const stain = 0.9 + 0.2 * cloud2(x * 0.8, y * 0.8, 4, seed + 9);
    for (let i = 0; i < 3; i++) out[i] *= pool * height * stain;
  };
}

function floorPaint(gym: GymSpec, seed: number, shadows: readonly FloorShadow[]): Paint {
  const base = linearOf(gym.floorColour);
  return (x, z, out) => {
    const gapX = cell(x + 0.3, 1).edgeM;
    const gapZ = cell(z + 0.2, 1).edgeM;
    const joint = 0.55 + 0.45 * ramp(Math.min(gapX, gapZ), 0.002, 0.006);
    const fleck = pick2(Math.floor(x * 160), Math.floor(z * 160), seed) > 0.955 ? 0.09 : 0;
    const wear = 0.75 + 0.5 * cloud2(x * 2.2, z * 2.2, 4, seed + 21);
    let light = 1;
    for (const s of shadows) {
      const d = Math.hypot((x - s.xM) / s.halfXM, (z - s.zM) / s.halfZM);
      const k = 1 - ramp(d, 0.25, 1.3);
      light *= 1 - s.depth * k * k * (3 - 2 * k);
    }
    for (let i = 0; i < 3; i++) out[i] = light * joint * (base[i] * wear + fleck);
  };
}

/**
 * Floor and back wall as linear RGB, every pixel cast into the scene; four rays a pixel, so that joints do not
 * step. A still picture, made once for a clip.
 */
export function paintRoom(
  camera: Camera,
  gym: GymSpec,
  seed: number,
  shadows: readonly FloorShadow[],
  widthPx: number,
  heightPx: number,
): Float32Array {
  const picture = new Float32Array(widthPx * heightPx * 3);
  const wall = wallPaint(gym, seed);
  const floor = floorPaint(gym, seed, shadows);
  const wallZ = -gym.wallBehindM;
  const out = new Float32Array(3);
  const haze: Rgb = [0.25, 0.26, 0.27];
  for (let j = 0; j < heightPx; j++) {
    for (let i = 0; i < widthPx; i++) {
      const at = (j * widthPx + i) * 3;
      for (let k = 0; k < 4; k++) {
        const d = rayOf(camera, i + (k & 1 ? 0.25 : -0.25), j + (k & 2 ? 0.25 : -0.25));
        const tWall = (wallZ - camera.at[2]) / d[2];
        const tFloor = d[1] < 0 ? -camera.at[1] / d[1] : Infinity;
        if (tFloor < tWall || tWall <= 0) {
          if (tFloor === Infinity) mixInto(out, haze, 1);
          else floor(camera.at[0] + tFloor * d[0], camera.at[2] + tFloor * d[2], out);
        } else wall(camera.at[0] + tWall * d[0], camera.at[1] + tWall * d[1], out);
        for (let c = 0; c < 3; c++) picture[at + c] += out[c] / 4;
      }
    }
  }
  return picture;
}
