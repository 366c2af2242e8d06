import { deviation, mean } from 'd3-array';
import { describe, expect, it } from 'vitest';
import { fitCameraPose } from '../../../shared-lib/camera/camera-pose.ts';
import { settleByPose } from '../../../shared-lib/camera/settle-by-pose.ts';
import type { DiscView } from '../../../shared-lib/trace/disc-views.ts';
import { discView } from './disc-pictures.ts';
import { project, type Camera } from './pinhole.ts';

const picture = { widthPx: 1920, heightPx: 1080 };
const still = { picture, smearXPx: 0, smearYPx: 0 };
const oblique: Camera = { distanceM: 2.6, focalPx: 1100, yawDeg: 20, pitchDeg: 8, rollDeg: 0 };
const thicknessM = 0.08;
const path = Array.from({ length: 14 }, (_, k): [number, number] => [
  0.02 * Math.sin(k),
  0.6 * (k / 13) - 0.3,
]);
const views = path.map(([x, y], frame) => discView(oblique, thicknessM, x, y, frame));
const pose = (await fitCameraPose(views, picture))!;

/** Where each view's near face is found, against where it is, pixels. */
function missesOf(seen: readonly DiscView[]): { x: number; y: number; varXPx2: number; shown: number }[] {
  return seen.flatMap((view) => {
    const settled = settleByPose(view, pose, still);
    if (!settled) return [];
    const [x, y] = project(oblique, ...path[view.frame]);
    const { dxPx, dyPx, varXPx2, shown } = settled;
    return [{ x: view.ring.xPx + dxPx - x, y: view.ring.yPx + dyPx - y, varXPx2, shown }];
  });
}

/** The views with their rings moved about, as a follower's are that takes in more or less of the disc's side. */
const misplaced = views.map((view, k) => ({
  ...view,
  ring: {
    ...view.ring,
    xPx: view.ring.xPx + 5 * Math.cos(2.4 * k),
    yPx: view.ring.yPx + 5 * Math.sin(2.4 * k),
  },
}));

/** The view stretched upright about the disc's centre, and its right side let down, both as shares; between pixels by straight lines. */
function drawnOut(view: DiscView, stretch: number, shear: number): DiscView {
  const { width, height, data } = view.image;
  const [x, y] = project(oblique, ...path[view.frame]);
  const out = new Uint8Array(data.length);
  for (let v = 0; v < height; v++)
    for (let u = 0; u < width; u++) {
      const [dx, dy] = [u + view.x0Px - x, v + view.y0Px - y];
      const from = Math.min(height - 1.001, Math.max(0, y + (dy - shear * dx) / (1 + stretch) - view.y0Px));
      const above = Math.floor(from);
      const [top, bottom] = [data[above * width + u], data[(above + 1) * width + u]];
      out[v * width + u] = Math.round(top + (from - above) * (bottom - top));
    }
  return { ...view, image: { width, height, data: out } };
}

describe('settling by the pose', () => {
  it('puts the near face’s centre on one place of the disc all along the path, wherever the ring was', () => {
    const misses = missesOf(misplaced);
    expect(misses).toHaveLength(views.length);
    expect(deviation(misses, (m) => m.x)).toBeLessThan(0.1);
    expect(deviation(misses, (m) => m.y)).toBeLessThan(0.1);
    expect(Math.abs(mean(misses, (m) => m.x)!)).toBeLessThan(0.6);
    expect(Math.abs(mean(misses, (m) => m.y)!)).toBeLessThan(0.6);
    expect(mean(misses, (m) => m.shown)).toBeGreaterThan(0.85);
    // Stated within a factor of three of what is seen.
    const stated = Math.sqrt(mean(misses, (m) => m.varXPx2)!);
    expect(stated).toBeLessThan(0.2);
    expect(stated).toBeGreaterThan(deviation(misses, (m) => m.x)! / 3);
  });

  it('does as well with a quarter of the disc hidden, and says that less shows', () => {
    const hidden = views.map((view) => {
      const { width, height, data } = view.image;
      const shown = data.slice();
      for (let v = 0; v < height; v++) for (let u = 0; u < width * 0.38; u++) shown[v * width + u] = 150;
      return { ...view, image: { width, height, data: shown } };
    });
    const misses = missesOf(hidden);
    expect(misses).toHaveLength(views.length);
    expect(deviation(misses, (m) => m.x)).toBeLessThan(0.15);
    expect(mean(misses, (m) => m.shown)).toBeLessThan(mean(missesOf(views), (m) => m.shown)! - 0.1);
  });

  it.each([
    [0, 0],
    [0.012, 0],
    [-0.012, 0],
    [0, 0.009],
    [0.006, -0.009],
  ])(
    'tells that the disc is drawn out by %f of its height and hangs by %f of its width',
    (stretch, shear) => {
      const shapes = views.map((view) => settleByPose(drawnOut(view, stretch, shear), pose, still)!);
      const usual = views.map((view) => settleByPose(view, pose, still)!);
      const beyond = (of: 'stretch' | 'shear'): number[] =>
        shapes.map((shape, k) => shape[of] - usual[k][of]);
      expect(Math.abs(mean(beyond('stretch'))! - stretch)).toBeLessThan(0.0006);
      expect(Math.abs(mean(beyond('shear'))! - shear)).toBeLessThan(0.0006);
      expect(deviation(beyond('stretch'))).toBeLessThan(0.0015);
      expect(deviation(beyond('shear'))).toBeLessThan(0.0015);
      expect(Math.abs(mean(usual, (shape) => shape.stretch)!)).toBeLessThan(0.002);
      expect(Math.abs(mean(usual, (shape) => shape.shear)!)).toBeLessThan(0.002);
    },
  );

  it('finds the centre of a disc that is drawn out by more than its edges are told apart by, where that is known', () => {
    const [stretch, shear] = [-0.035, 0.006];
    const moved = misplaced.map((view) => drawnOut(view, stretch, shear));
    const knownOut = { xx: 0, xy: 0, yx: shear, yy: stretch };
    const offPx = (drawn?: typeof knownOut): number[] =>
      moved.map((view) => {
        const { dxPx, dyPx } = settleByPose(view, pose, { ...still, drawnOut: drawn })!;
        const [x, y] = project(oblique, ...path[view.frame]);
        return Math.hypot(view.ring.xPx + dxPx - x, view.ring.yPx + dyPx - y);
      });
    expect(Math.max(...offPx(knownOut))).toBeLessThan(0.15);
    expect(mean(offPx())).toBeGreaterThan(0.5);
    const told = moved.map((view) => settleByPose(view, pose, { ...still, drawnOut: knownOut })!);
    expect(mean(told, (there) => there.stretch)).toBeCloseTo(stretch, 2);
    expect(mean(told, (there) => there.shear)).toBeCloseTo(shear, 2);
  });

  it('finds nothing in a blank picture', () => {
    const [first] = views;
    const blank = { ...first, image: { ...first.image, data: first.image.data.map(() => 90) } };
    expect(settleByPose(blank, pose, still)).toBeNull();
  });
});
