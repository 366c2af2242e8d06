import { describe, expect, it } from 'vitest';
import { paintEnd } from '../../../demo-data/paint/bar.ts';
import { makePatch } from '../../../demo-data/paint/patch.ts';
import type { RoundSolid } from '../../../demo-data/paint/solid.ts';
import { makeCamera, project, projectCircle } from '../../../demo-data/scene/camera.ts';
import type { CameraSpec } from '../../../demo-data/scene/spec.ts';
import type { Vec3 } from '../../../demo-data/scene/vec.ts';
import { tripod } from './tripod.ts';

const [w, h] = [320, 240];
const plain: RoundSolid = {
  nearM: 0,
  farM: -0.05,
  radiusM: 0.225,
  face: (_u, _v, _r, _pixel, out) => out.fill(0.05),
  side: [0.05, 0.05, 0.05],
};

/** A dark disc on a bright ground, seen at several moments of one exposure; luma in rows. */
function pictureOf(spec: CameraSpec, centres: readonly Vec3[], solid: RoundSolid): Float64Array {
  const camera = makeCamera(spec, w, h);
  const sum = new Float64Array(w * h);
  for (const centre of centres) {
    const patch = makePatch({ x: 0, y: 0, w, h }, 3);
    patch.light.fill(0.8);
    paintEnd(patch, camera, centre, [solid]);
    for (let i = 0; i < sum.length; i++) sum[i] += patch.light[3 * i] / centres.length;
  }
  return sum;
}

/** Centre of darkness: every pixel weighted by how much darker than the ground it is. */
function darkCentre(picture: Float64Array): { xPx: number; yPx: number; areaPx: number } {
  let [mass, x, y] = [0, 0, 0];
  picture.forEach((value, i) => {
    const dark = (0.8 - value) / 0.75;
    mass += dark;
    x += dark * (i % w);
    y += dark * Math.floor(i / w);
  });
  return { xPx: x / mass, yPx: y / mass, areaPx: mass };
}

/** Radius at which the picture along a ray from a point crosses half darkness, by linear interpolation. */
function edgeAt(picture: Float64Array, x0: number, y0: number, angle: number): number {
  const at = (r: number) => {
    const x = x0 + r * Math.cos(angle);
    const y = y0 + r * Math.sin(angle);
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const [a, b] = [x - i, y - j];
    const p = (dx: number, dy: number) => picture[(j + dy) * w + i + dx];
    return (1 - b) * ((1 - a) * p(0, 0) + a * p(1, 0)) + b * ((1 - a) * p(0, 1) + a * p(1, 1));
  };
  for (let r = 20; r < 110; r += 0.05) if (at(r) > 0.425) return r - 0.025;
  return Number.NaN;
}

const offsets: Vec3[] = [
  [0, 1, 0],
  [0.0011, 1.0007, 0],
  [0.0023, 0.9991, 0],
  [-0.0017, 1.0029, 0],
  [0.05, 0.93, 0],
];
const thin = { ...plain, farM: -1e-6 };

describe('the near disc in the picture', () => {
  it('has its centre of darkness within 0.02 px of the projected centre, square-on', () => {
    for (const centre of offsets) {
      const truth = project(makeCamera(tripod, w, h), centre);
      const found = darkCentre(pictureOf(tripod, [centre], thin));
      expect(Math.hypot(found.xPx - truth.xPx, found.yPx - truth.yPx)).toBeLessThan(0.02);
    }
  });

  it('covers the area of its ellipse within one part in a thousand, square-on and oblique', () => {
    for (const off of [0, 0.3, 0.6]) {
      const spec = { ...tripod, xM: 3.5 * Math.sin(off), zM: 3.5 * Math.cos(off), panRad: -off };
      const rim = projectCircle(makeCamera(spec, w, h), offsets[2], [1, 0, 0], [0, 1, 0], 0.225);
      const { areaPx, xPx, yPx } = darkCentre(pictureOf(spec, [offsets[2]], thin));
      expect(Math.abs(areaPx / (Math.PI * rim.aPx * rim.bPx) - 1)).toBeLessThan(1e-3);
      expect(Math.hypot(xPx - rim.xPx, yPx - rim.yPx)).toBeLessThan(0.02);
    }
  });

  it('crosses half darkness on a circle with the true centre and radius, within 0.02 px', () => {
    for (const centre of offsets) {
      const truth = projectCircle(makeCamera(tripod, w, h), centre, [1, 0, 0], [0, 1, 0], 0.225);
      const picture = pictureOf(tripod, [centre], thin);
      const angles = Array.from({ length: 360 }, (_, k) => (k * Math.PI) / 180);
      const radii = angles.map((a) => edgeAt(picture, truth.xPx, truth.yPx, a));
      // An offset centre shows as the first harmonic of the radius round the true one.
      const mean = (f: (r: number, a: number) => number) =>
        radii.reduce((sum, r, k) => sum + f(r, angles[k]), 0) / 360;
      expect(Math.abs(2 * mean((r, a) => r * Math.cos(a)))).toBeLessThan(0.02);
      expect(Math.abs(2 * mean((r, a) => r * Math.sin(a)))).toBeLessThan(0.02);
      expect(Math.abs(mean((r) => r) - truth.aPx)).toBeLessThan(0.02);
    }
  });

  it('keeps its centre at the middle of the exposure when it moves during it', () => {
    const middle = project(makeCamera(tripod, w, h), [0.01, 1.01, 0]);
    const centres = [-2, -1, 0, 1, 2].map((k): Vec3 => [0.01 + 0.001 * k, 1.01 + 0.003 * k, 0]);
    const found = darkCentre(pictureOf(tripod, centres, thin));
    expect(Math.hypot(found.xPx - middle.xPx, found.yPx - middle.yPx)).toBeLessThan(0.02);
  });

  it('shows its side on the side that the camera stands on', () => {
    const spec = { ...tripod, xM: -1.2, panRad: Math.atan2(1.2, 3.5) };
    const centre: Vec3 = [0, 1, 0];
    const face = darkCentre(pictureOf(spec, [centre], thin));
    const whole = darkCentre(pictureOf(spec, [centre], { ...plain, farM: -0.2 }));
    expect(whole.areaPx).toBeGreaterThan(face.areaPx + 100);
    expect(whole.xPx).toBeLessThan(face.xPx - 0.2);
  });

  it('lets what is behind it be seen through its openings, and hides it elsewhere', () => {
    const half: RoundSolid = { ...plain, opening: (u) => (u > 0 ? 1 : 0) };
    const camera = makeCamera(tripod, w, h);
    const { xPx, yPx } = project(camera, [0, 1, 0]);
    const picture = pictureOf(tripod, [[0, 1, 0]], half);
    const at = (dx: number): number => picture[Math.round(yPx) * w + Math.round(xPx + dx)];
    expect(at(8)).toBeCloseTo(0.8, 6);
    expect(at(-8)).toBeCloseTo(0.05, 6);
  });
});
