import { describe, expect, it } from 'vitest';
import { drawScene, type SceneOverrides } from '../../../demo-data/draw-scene.ts';
import { lightOf } from '../../../demo-data/film/light.ts';
import { makePainter } from '../../../demo-data/paint/frame.ts';
import { makePatch } from '../../../demo-data/paint/patch.ts';
import { endFrame, paintSolids, type RoundSolid } from '../../../demo-data/paint/solid.ts';
import { makeCamera, project } from '../../../demo-data/scene/camera.ts';
import { bent, makeLens, straightened } from '../../../demo-data/scene/lens.ts';
import { appearance, shotOf } from '../../../demo-data/scene/shot.ts';
import { add, sub, type Vec3 } from '../../../demo-data/scene/vec.ts';
import { apparentRim } from '../../../demo-data/truth/rim.ts';

const brief: SceneOverrides = {
  lift: 'bench',
  facing: 'right',
  plan: { leadS: 0.1, settleS: 0.4, holdS: 0.3, tailS: 0.1 },
  film: { widthPx: 640, heightPx: 360, grey: true },
};
const thin: RoundSolid = {
  nearM: 0,
  farM: -1e-6,
  radiusM: 0.225,
  face: (_u, _v, _r, _pixel, out) => out.fill(0.05),
  side: [0.05, 0.05, 0.05],
};

/**
 * How the edge of a dark disc, at half darkness along rays from the middle of an ellipse, lies off that ellipse: the
 * largest of its mean, shift and flattening, pixels.
 */
function offRim(
  rgb: Float32Array,
  widthPx: number,
  rim: { xPx: number; yPx: number; aPx: number; bPx: number; thetaRad: number },
): number {
  const at = (x: number, y: number): number => {
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const p = (di: number, dj: number) => rgb[3 * ((j + dj) * widthPx + i + di)];
    const [a, b] = [x - i, y - j];
    return (1 - b) * ((1 - a) * p(0, 0) + a * p(1, 0)) + b * ((1 - a) * p(0, 1) + a * p(1, 1));
  };
  const errors = Array.from({ length: 72 }, (_, k) => {
    const angle = (k * Math.PI) / 36;
    const off = angle - rim.thetaRad;
    const r = (rim.aPx * rim.bPx) / Math.hypot(rim.bPx * Math.cos(off), rim.aPx * Math.sin(off));
    let edge = r - 3;
    while (at(rim.xPx + edge * Math.cos(angle), rim.yPx + edge * Math.sin(angle)) < 0.425) edge += 0.01;
    return edge - r;
  });
  const harmonic = (of: (angle: number) => number) =>
    Math.abs(errors.reduce((sum, e, k) => sum + e * of((k * Math.PI) / 36), 0)) / 36;
  return Math.max(
    harmonic(() => 0.5),
    ...[1, 2].flatMap((n) => [harmonic((a) => Math.cos(n * a)), harmonic((a) => Math.sin(n * a))]),
  );
}

describe('rows that are read one after another', () => {
  const readOutS = 0.024;
  const spec = drawScene(3, { ...brief, film: { ...brief.film, readOutS } });
  const shot = shotOf(spec);
  const risingAt = (tS: number): Vec3 => [0, 0.7 + 1.5 * tS, 0];

  it('slow a rising disc: its velocity in the picture is low by its pixels per second times the time per row', () => {
    const camera = shot.cameraAt(0);
    const truePxPerS = (project(camera, risingAt(0.11)).yPx - project(camera, risingAt(0.09)).yPx) / 0.02;
    const seenPxPerS = (appearance(shot, 0.11, risingAt).yPx - appearance(shot, 0.09, risingAt).yPx) / 0.02;
    const lost = (-truePxPerS * readOutS) / 359;
    expect(lost).toBeGreaterThan(0.01);
    expect(seenPxPerS / truePxPerS).toBeCloseTo(1 / (1 + lost), 6);
  });

  it('show a point on the row that is read while it is there', () => {
    const { xPx, yPx } = appearance(shot, 0.1, risingAt);
    const there = project(shot.cameraAt(0), risingAt(0.1 + (readOutS * (yPx - 179.5)) / 359));
    expect(Math.hypot(there.xPx - xPx, there.yPx - yPx)).toBeLessThan(1e-6);
  });

  it('paint a moving disc with its edge on the ellipse that the truth tells, within 0.03 px', () => {
    const patch = makePatch({ x: 0, y: 0, w: 640, h: 360 }, 3);
    patch.light.fill(0.8);
    const shiftAt = (yPx: number) => sub(risingAt(0.2 + shot.rowDelayS(yPx)), risingAt(0.2));
    paintSolids(patch, shot.cameraAt(0.2), [{ frame: endFrame(risingAt(0.2)), solid: thin }], shiftAt);
    const faceAt = (tS: number) => ({ ...endFrame(risingAt(tS)), centre: risingAt(tS) });
    const rim = apparentRim(shot, 0.2, faceAt, 0.225);
    expect(rim.aPx - rim.bPx).toBeGreaterThan(0.4);
    expect(offRim(patch.light, 640, rim)).toBeLessThan(0.03);
  });

  it('bend uprights while a hand-held camera turns: truth and picture agree on where a still point is', () => {
    const shaky = shotOf(
      drawScene(3, { ...brief, camera: { shakePx: 8 }, film: { ...brief.film, readOutS } }),
    );
    const top = appearance(shaky, 0.5, () => [0, 1.6, 0]);
    const camera = shaky.cameraAt(0.5 + shaky.rowDelayS(top.yPx));
    const there = project({ ...camera, ofRow: null }, [0, 1.6, 0]);
    expect(Math.hypot(there.xPx - top.xPx, there.yPx - top.yPx)).toBeLessThan(1e-6);
  });
});

describe('a lens that bends', () => {
  const bend = { k1: -0.08, k2: 0.01, focalPx: 500, cxPx: 319.5, cyPx: 179.5 };

  it('moves the corner by k1 and k2 times the powers of its distance', () => {
    const corner = { xPx: 639, yPx: 359 };
    const r = Math.hypot(319.5, 179.5) / 500;
    const seen = bent(bend, corner);
    const movedPx = Math.hypot(seen.xPx - corner.xPx, seen.yPx - corner.yPx);
    expect(movedPx).toBeCloseTo(500 * (0.08 * r ** 3 - 0.01 * r ** 5), 9);
    expect(seen.xPx).toBeLessThan(corner.xPx);
  });

  it('is undone pixel by pixel by its table', () => {
    const lens = makeLens(bend.k1, bend.k2, bend.focalPx, 640, 360)!;
    for (const [i, j] of [
      [0, 0],
      [639, 359],
      [320, 10],
      [17, 200],
    ]) {
      const at = 2 * (j * 640 + i);
      const back = bent(bend, { xPx: lens.straightPx[at], yPx: lens.straightPx[at + 1] });
      expect(Math.hypot(back.xPx - i, back.yPx - j)).toBeLessThan(1e-4);
    }
    expect(straightened(bend, { xPx: 319.5, yPx: 179.5 })).toEqual({ xPx: 319.5, yPx: 179.5 });
    expect(makeLens(0, 0, 500, 640, 360)).toBeNull();
  });

  it('paints a disc with its edge where points of its rim appear, within 0.05 px', () => {
    const spec = drawScene(3, { ...brief, camera: { lensK1: -0.1, aimRightM: -0.6, fieldOfViewRad: 1.2 } });
    const shot = shotOf(spec);
    const centre: Vec3 = [1, 0.9, 0];
    const patch = makePatch({ x: 0, y: 0, w: 640, h: 360 }, 3);
    patch.light.fill(0.8);
    paintSolids(patch, shot.cameraAt(0), [{ frame: endFrame(centre), solid: thin }]);
    const rim = apparentRim(shot, 0, () => ({ ...endFrame(centre), centre }), 0.225);
    const straight = project({ ...shot.cameraAt(0), lens: null }, centre);
    expect(Math.abs(straight.xPx - rim.xPx)).toBeGreaterThan(1.5);
    expect(offRim(patch.light, 640, rim)).toBeLessThan(0.05);
  });

  it('shows the room at the places of the straight picture that it bends here', () => {
    const camera = { fieldOfViewRad: 1.3 };
    const straight = makePainter(drawScene(22, { ...brief, camera }))
      .paint(0.2)
      .y.slice();
    const spec = drawScene(22, { ...brief, camera: { ...camera, lensK1: -0.08 } });
    const seen = makePainter(spec).paint(0.2).y;
    const lens = makeLens(-0.08, 0, spec.camera.focalPx, 640, 360)!;
    let [sum, count, unbent] = [0, 0, 0];
    for (let j = 4; j < 60; j++)
      for (let i = 80; i < 560; i++) {
        const at = 2 * (j * 640 + i);
        const [x, y] = [Math.round(lens.straightPx[at]), Math.round(lens.straightPx[at + 1])];
        if (x < 0 || y < 0 || x > 639 || y > 359) continue;
        sum += Math.abs(seen[j * 640 + i] - straight[y * 640 + x]);
        unbent += Math.abs(seen[j * 640 + i] - straight[j * 640 + i]);
        count++;
      }
    expect(count).toBeGreaterThan(15000);
    expect(sum / unbent).toBeLessThan(0.5);
  });
});

describe('a camera that sweeps and zooms', () => {
  const deg = Math.PI / 180;
  const spec = drawScene(4, { ...brief, camera: { sweepPanRad: 3 * deg, zoomDrift: 0.005 } });
  const shot = shotOf(spec);

  it('turns by the sweep over the clip and passes its placement half-way', () => {
    const pan = [0, 0.5, 1].map((share) => shot.turnAt(share * 10).panRad);
    expect(pan[0]).toBeCloseTo(-1.5 * deg, 9);
    expect(pan[2]).toBeCloseTo(1.5 * deg, 9);
  });

  it('changes its focal length by no more than the drift, and by most of it', () => {
    const zooms = Array.from({ length: 200 }, (_, i) => shot.turnAt(i / 20).zoom);
    expect(Math.max(...zooms)).toBeLessThanOrEqual(1.005);
    expect(Math.max(...zooms) - Math.min(...zooms)).toBeGreaterThan(0.009);
    const camera = makeCamera(spec.camera, 640, 360, { panRad: 0, tiltRad: 0, rollRad: 0, zoom: 1.005 });
    const off = (c: typeof camera) => project(c, add(c.at, add(c.forward, c.right))).xPx - c.cxPx;
    expect(off(camera) / off(makeCamera(spec.camera, 640, 360))).toBeCloseTo(1.005, 9);
  });
});

describe('the light that a row gathers', () => {
  it('ripples by the lamps less what the shutter averages, once in half a mains period', () => {
    const film = { ...drawScene(1).film, fps: 30, shutter: 0.15, flicker: 0.3, flickerHz: 100 };
    const light = lightOf(film)!;
    const open = Math.PI * 100 * (0.15 / 30);
    const values = Array.from({ length: 100 }, (_, i) => light(i / 10_000));
    expect(Math.max(...values) - 1).toBeCloseTo((0.3 * Math.sin(open)) / open, 6);
    expect(values.reduce((a, b) => a + b, 0) / 100).toBeCloseTo(1, 9);
    expect(light(0.0123)).toBeCloseTo(light(0.0223), 9);
  });

  it('changes by the ramp, smoothly, and stays there', () => {
    const film = { ...drawScene(1).film, exposureRamp: { atS: 1, overS: 0.5, factor: 1.6 } };
    const light = lightOf(film)!;
    expect([light(0.9), light(1.25), light(2)].map((v) => Number(v.toFixed(6)))).toEqual([1, 1.264911, 1.6]);
    expect(lightOf(drawScene(1).film)).toBeNull();
  });
});
