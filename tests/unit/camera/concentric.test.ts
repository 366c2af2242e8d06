import { describe, expect, it } from 'vitest';
import { concentric } from '../../../shared-lib/camera/concentric.ts';
import type { DiscEdges } from '../../../shared-lib/camera/disc-outline.ts';
import { rays } from '../../../shared-lib/camera/disc-outline.ts';
import {
  along,
  cross,
  normalOf,
  onPlane,
  projectPoint,
  unit,
  type Plane,
} from '../../../shared-lib/camera/pinhole.ts';
import { shownThicknesses } from '../../../shared-lib/camera/shown-thickness.ts';

const rad = Math.PI / 180;
const radiusM = 0.225;
const lens = { focalPx: 1500, cxPx: 960, cyPx: 540 };
const planeAt = (yawRad: number, pitchRad: number): Plane => ({
  normal: normalOf(yawRad, pitchRad),
  distanceM: 2.6,
});
const [trueYaw, truePitch] = [22 * rad, 6 * rad];
const trueCentres = [-150, 0, 150].map((dy) => ({ xPx: 900, yPx: 540 + dy }));

/** Edges of circles about a centre: for each ray the places where it meets those that show on it. */
function edgesOn(
  centre: { xPx: number; yPx: number },
  circles: readonly { share: number; depthM?: number; shows?: (ray: number) => boolean }[],
): DiscEdges {
  const plane = planeAt(trueYaw, truePitch);
  const at = onPlane(lens, plane, centre.xPx, centre.yPx);
  const right = unit(cross(plane.normal, [0, 1, 0]));
  const down = cross(plane.normal, right);
  const [xPx, yPx, first]: number[][] = [[], [], []];
  for (let i = 0; i < rays; i++) {
    first.push(xPx.length);
    const phi = (2 * Math.PI * i) / rays;
    for (const { share, depthM = 0, shows } of circles) {
      if (shows && !shows(i)) continue;
      const r = share * radiusM;
      const behind = along(at, plane.normal, -depthM);
      const [x, y] = projectPoint(
        lens,
        along(along(behind, right, r * Math.cos(phi)), down, r * Math.sin(phi)),
      );
      xPx.push(x);
      yPx.push(y);
    }
  }
  first.push(xPx.length);
  return {
    xPx: Float64Array.from(xPx),
    yPx: Float64Array.from(yPx),
    weight: new Float64Array(xPx.length).fill(1),
    first: Int32Array.from(first),
    densityPerPx: 0.02,
  };
}

describe('concentric', () => {
  const shares = [0.5, 0.81, 0.965, 1];

  it('turns and shifts a disc whose rim was taken for its lip on one side until all its rings are circles', () => {
    // As it was fitted: turned by a degree or two, its centre moved by half the lip's breadth, 1.6 % too small.
    const radius = radiusM / 1.016;
    const [yaw, pitch] = [trueYaw + 2 * rad, truePitch - 1.5 * rad];
    const views = trueCentres.map((centre) => ({
      edges: edgesOn(
        centre,
        shares.map((share) => ({ share })),
      ),
      centre: { xPx: centre.xPx - 2, yPx: centre.yPx },
    }));
    const found = concentric(
      views,
      lens,
      (turn) => planeAt(yaw + turn.yawRad, pitch + turn.pitchRad),
      radius,
      rays,
    );
    expect(Math.abs(found.turn.yawRad / rad + 2)).toBeLessThan(0.6);
    expect(Math.abs(found.turn.pitchRad / rad - 1.5)).toBeLessThan(0.6);
    const rim = found.circles[0].share;
    expect(found.circles.map(({ share }) => share / rim)).toHaveLength(4);
    found.circles.forEach(({ share }, k) =>
      expect(Math.abs(share / rim - shares[shares.length - 1 - k])).toBeLessThan(0.003),
    );
  });

  it('leaves a disc as it is whose rings are circles', () => {
    const views = trueCentres.map((centre) => ({
      edges: edgesOn(
        centre,
        shares.map((share) => ({ share })),
      ),
      centre,
    }));
    const planeOf = ({ yawRad, pitchRad }: { yawRad: number; pitchRad: number }): Plane =>
      planeAt(trueYaw + yawRad, truePitch + pitchRad);
    const { turn, shift, circles } = concentric(views, lens, planeOf, radiusM, rays);
    expect(Math.hypot(turn.yawRad, turn.pitchRad) / rad).toBeLessThan(0.3);
    expect(Math.hypot(...shift)).toBeLessThan(0.002);
    expect(circles[0].share).toBeCloseTo(1, 2);
  });
});

describe('shownThicknesses', () => {
  it('finds how thick a stack is from its far rim on the side on which it is seen, and scenery beyond is no matter', () => {
    const views = trueCentres.map((centre) => ({
      edges: edgesOn(centre, [
        { share: 1 },
        { share: 1, depthM: 0.2 },
        { share: 1.3, shows: (ray) => ray % 6 === 0 },
      ]),
      centre,
    }));
    const [plainest] = shownThicknesses(views, lens, planeAt(trueYaw, truePitch), radiusM);
    expect(Math.abs(plainest - 0.2)).toBeLessThan(0.011);
  });

  it('finds none where nothing shows beyond the rim', () => {
    const views = trueCentres.map((centre) => ({ edges: edgesOn(centre, [{ share: 1 }]), centre }));
    expect(shownThicknesses(views, lens, planeAt(trueYaw, truePitch), radiusM)).toEqual([]);
  });
});
