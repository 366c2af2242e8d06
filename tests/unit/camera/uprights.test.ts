import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leanAt, upOf } from '../../../shared-lib/camera/pose-plane.ts';
import { normalOf } from '../../../shared-lib/camera/pinhole.ts';
import { proposeUp } from '../../../shared-lib/camera/propose-up.ts';
import { stillCamera, type CameraPose, type UprightEdge } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import type { Box } from '../../../shared-lib/picture/corners.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { findUprightSegments } from '../../../shared-lib/picture/upright-edges.ts';
import { UprightCollector } from '../../../shared-lib/trace/upright-collector.ts';

const rad = Math.PI / 180;
const picture = { widthPx: 640, heightPx: 480 };
const lens = { focalPx: 600, cxPx: 319.5, cyPx: 239.5 };

/** Bars of light, each upright in a scene seen by a camera of that roll and pitch, 10 px wide where the camera's height is. */
function room(
  rollDeg: number,
  pitchDeg: number,
  noise: number,
  bars: readonly number[],
  bowPx = 0,
): GreyImage {
  const random = seededRandom(3);
  const up = upOf(normalOf(0, pitchDeg * rad), rollDeg * rad);
  const { widthPx: width, heightPx: height } = picture;
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const edges = bars.map((x0) => {
      // Along the line through (x0, middle) toward the uprights' vanishing point.
      const u = (y - lens.cyPx) / (height / 2);
      const lean = leanAt(lens, up, x0, lens.cyPx);
      const vanishing = Math.abs(up[2]) > 1e-9 ? (up[1] / up[2]) * lens.focalPx : Infinity;
      const vx = lens.cxPx + (up[0] / up[2]) * lens.focalPx;
      const x = Number.isFinite(vanishing)
        ? x0 + ((vx - x0) * (y - lens.cyPx)) / vanishing
        : x0 - (y - lens.cyPx) * Math.tan(lean);
      return x + bowPx * (1 / 3 - u * u);
    });
    for (let x = 0; x < width; x++) {
      const cover = edges.reduce(
        (s, e) => s + Math.max(0, Math.min(1, x + 0.5 - e + 5) - Math.max(0, x - 0.5 - e - 4)),
        0,
      );
      data[y * width + x] = Math.round(90 + 90 * Math.min(1, cover) + noise * random.normal());
    }
  }
  return { width, height, data };
}

const bars = [70, 190, 330, 455, 580];

function edgesOf(
  images: readonly GreyImage[],
  barAt: (frame: number) => readonly Box[] = () => [],
): UprightEdge[] {
  const collector = new UprightCollector(images.length);
  images.forEach((image, i) => collector.look(image, i, i));
  return collector.uprights(
    images.map(() => stillCamera),
    barAt,
  );
}

/** A wall whose only upright edges are the joints between its bricks, 24 px high and so much apart, turned about the picture's middle. */
function bricks(rollDeg: number): GreyImage {
  const random = seededRandom(9);
  const { widthPx: width, heightPx: height } = picture;
  const [s, c] = [Math.sin(rollDeg * rad), Math.cos(rollDeg * rad)];
  const covered = (place: number, every: number): number => {
    const within = ((place % every) + every) % every;
    return Math.max(0, 1 - Math.abs(within - every / 2) / 1.5);
  };
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [dx, dy] = [x - lens.cxPx, y - lens.cyPx];
      const [along, down] = [c * dx + s * dy, c * dy - s * dx];
      const course = Math.floor(down / 24);
      const joint = Math.max(covered(down + 12, 24), covered(along + (course % 2) * 32, 64));
      data[y * width + x] = Math.round(120 - 40 * joint + 2 * random.normal());
    }
  }
  return { width, height, data };
}

describe('findUprightSegments', () => {
  it('finds both edges of every bar, their lean and that they do not bow', () => {
    const segments = findUprightSegments(room(2, 0, 2, bars)).filter((s) => s.bottomPx - s.topPx > 400);
    expect(segments.length).toBe(2 * bars.length);
    for (const s of segments) {
      expect(Math.abs(Math.atan(-s.slope) / rad - 2)).toBeLessThan(0.05);
      expect(Math.abs(s.bowPx)).toBeLessThan(Math.max(0.15, 3 * s.bowSigmaPx));
    }
  });

  it('finds joints of bricks, which are short, and by all of them which way is up', () => {
    const edges = edgesOf([bricks(-1.4)]);
    expect(edges.length).toBeGreaterThan(20);
    const up = proposeUp(edges, picture, null)!;
    expect(Math.abs(up.rollRad / rad + 1.4)).toBeLessThan(0.15);
    expect(up.rollSigmaRad / rad).toBeLessThan(0.4);
  });

  it('finds edges of a picture that was softened, which hold less of their step, where told by how much', () => {
    const faint = room(2, 0, 0, bars);
    const { width, height } = faint;
    const softPx = 1.75;
    const taps = Array.from({ length: 13 }, (_, i) => Math.exp(-0.5 * ((i - 6) / softPx) ** 2));
    const sum = taps.reduce((a, b) => a + b);
    const data = faint.data.map((_, at) => {
      const x = at % width;
      const blurred = taps.reduce(
        (s, tap, i) => s + tap * faint.data[at - x + Math.min(width - 1, Math.max(0, x + i - 6))],
        0,
      );
      return Math.round(100 + 0.18 * (blurred / sum - 90));
    });
    const long = (softeningPx: number) =>
      findUprightSegments({ width, height, data }, softeningPx).filter((q) => q.bottomPx - q.topPx > 400);
    expect(long(0)).toHaveLength(0);
    expect(long(softPx)).toHaveLength(2 * bars.length);
    for (const q of long(softPx)) expect(Math.abs(Math.atan(-q.slope) / rad - 2)).toBeLessThan(0.1);
  });

  it('measures how far a bent edge bows', () => {
    for (const s of findUprightSegments(room(0, 0, 2, bars, 1)).filter((q) => q.bottomPx - q.topPx > 400))
      expect(Math.abs(s.bowPx - 1)).toBeLessThan(0.15);
  });

  it('finds none in noise', () => {
    expect(findUprightSegments(room(0, 0, 12, []))).toEqual([]);
  });
});

describe('UprightCollector', () => {
  it('leaves out what is at another place in each picture', () => {
    const still = edgesOf([room(1, 0, 2, bars), room(1, 0, 2, bars), room(1, 0, 2, bars)]);
    const moving = edgesOf([room(1, 0, 2, [100]), room(1, 0, 2, [160]), room(1, 0, 2, [220])]);
    expect(still.length).toBeGreaterThanOrEqual(2 * bars.length);
    expect(moving).toEqual([]);
  });

  it('leaves out what is where the bar is, though it rests', () => {
    const rests = [room(1, 0, 2, bars), room(1, 0, 2, bars), room(1, 0, 2, bars)];
    const box = { x0Px: 300, x1Px: 360, y0Px: 0, y1Px: 480 };
    const left = edgesOf(rests, () => [box]);
    expect(left.length).toBeGreaterThanOrEqual(2 * bars.length - 2);
    expect(left.filter(({ xPx }) => Math.abs(xPx - 330) < 30)).toEqual([]);
  });
});

describe('proposeUp', () => {
  it('finds the roll of a camera that looks up or down, within a fifth of a degree', () => {
    for (const [roll, pitch] of [
      [0, 0],
      [1.5, 0],
      [-2.5, 6],
      [0.8, -8],
    ]) {
      const up = proposeUp(edgesOf([room(roll, pitch, 3, bars)]), picture, null)!;
      expect(up.plumb).toBe('proposed');
      expect(Math.abs(up.rollRad / rad - roll)).toBeLessThan(0.2);
      // Five uprights that lean by 0.35 degrees each and by 0.2 together cannot tell it more surely.
      expect(up.rollSigmaRad / rad).toBeGreaterThan(Math.hypot(0.2, 0.35 / Math.sqrt(bars.length)));
      expect(up.rollSigmaRad / rad).toBeLessThan(0.6);
    }
  });

  const pose: CameraPose = {
    ...lens,
    normal: normalOf(0.2, 0.08),
    distanceRadii: 14,
    thicknessRadii: 0.2,
    rings: [],
    sigma: { logFocal: 0.1, yawRad: 0.01, offSquareRad: 0.01, pitchRad: 0.01, size: 0.002 },
    offset: { dxPx: 0, dyPx: 0 },
    sideMargin: 50,
  };
  const edge = (xPx: number, leanRad: number, lengthPx = 200): UprightEdge => ({
    xPx,
    yPx: 240,
    lengthPx,
    leanRad,
    leanSigmaRad: 0.001,
    bowPx: 0,
    bowSigmaPx: 0.2,
  });

  it('needs no spread of uprights where the pose says how they converge', () => {
    fc.assert(
      fc.property(fc.double({ min: -3, max: 3, noNaN: true }), (rollDeg) => {
        const up = upOf(pose.normal, rollDeg * rad);
        const edges = [30, 50, 80].map((x) => edge(x, leanAt(lens, up, x, 240)));
        expect(Math.abs(proposeUp(edges, picture, pose)!.rollRad / rad - rollDeg)).toBeLessThan(0.4);
      }),
      { numRuns: 30 },
    );
  });

  it('goes by the uprights where the pose says wrongly how they converge', () => {
    const level = upOf(normalOf(0, 0), 0.4 * rad);
    const edges = [30, 90, 160, 240, 330, 390].map((x) => edge(x, leanAt(lens, level, x, 240)));
    const tilted = { ...pose, normal: normalOf(0, 9 * rad) };
    expect(Math.abs(proposeUp(edges, picture, tilted)!.rollRad / rad - 0.4)).toBeLessThan(0.15);
  });

  it('takes edges side by side all across the picture for many uprights, not for one', () => {
    const edges = Array.from({ length: 60 }, (_, i) => edge(20 + 10 * i, 0.02, 30));
    const up = proposeUp(edges, picture, null)!;
    expect(up.rollRad).toBeCloseTo(0.02, 3);
    // Their places are a fortieth of the picture's width apart at least: 30 of 20 px.
    expect(up.rollSigmaRad / rad).toBeCloseTo(Math.hypot(0.2, 0.35 / Math.sqrt(30)), 1);
  });

  it('goes by most uprights, whatever a few others lean like', () => {
    const edges = [40, 150, 300, 420, 600].map((x) => edge(x, 0.02)).concat(edge(250, -0.07), edge(500, 0.1));
    expect(proposeUp(edges, picture, null)!.rollRad).toBeCloseTo(0.02, 2);
  });

  it('proposes nothing from few or short edges, or where two directions are as good', () => {
    expect(proposeUp([], picture, null)).toBeNull();
    expect(proposeUp([edge(100, 0.01)], picture, null)).toBeNull();
    expect(proposeUp([edge(100, 0.01, 35), edge(400, 0.01, 35)], picture, null)).toBeNull();
    const two = [100, 300, 500].flatMap((x) => [edge(x, 0.06), edge(x + 40, -0.06)]);
    expect(proposeUp(two, picture, null)).toBeNull();
  });
});
