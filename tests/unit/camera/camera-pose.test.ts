import { describe, expect, it } from 'vitest';
import { fitCameraPose, spreadOfOffSquare, spreadOfYaw } from '../../../shared-lib/camera/camera-pose.ts';
import { PoseProblem } from '../../../shared-lib/camera/disc-pose.ts';
import { answersTo } from '../../../shared-lib/camera/fit-all.ts';
import { rimOfPose } from '../../../shared-lib/camera/rim-of-pose.ts';
import { toBarPlane, type BarPlaneOptions } from '../../../shared-lib/camera/rectify.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { usualDiscRadiusM } from '../../../shared-lib/norms/discs.ts';
import { drawRenderedPair } from '../../bench/pairs/draw-pair.ts';
import { discView, type Look } from './disc-pictures.ts';
import { paintedViews } from './painted-views.ts';
import { filmPath, pathError, type Camera } from './pinhole.ts';

const picture = { widthPx: 1920, heightPx: 1080 };
const options: BarPlaneOptions = {
  discM: 0.45,
  discSigmaM: 0.0005,
  facing: 'right',
  slowMotion: 1,
  slowMotionSource: 'none',
  seed: { ptsS: 0, xPx: 0, yPx: 0, source: 'found' },
};
/** Half a metre up and down with a bow, as a bar goes. */
const path = Array.from({ length: 12 }, (_, k): [number, number] => {
  const t = k / 11;
  return [0.06 * Math.sin(Math.PI * t), 0.55 * t - 0.275];
});
const near: Camera = { distanceM: 2.8, focalPx: 900, yawDeg: 0, pitchDeg: 0, rollDeg: 0 };

async function filmed(camera: Camera, thicknessM: number, look: Look = {}) {
  const views = path.map(([x, y], frame) => discView(camera, thicknessM, x, y, frame, look));
  const pose = await fitCameraPose(views, picture);
  if (!pose) throw new Error('no pose');
  // Followed at the near face's exact centre, of which the pose's offset from the ring is no part.
  const trace = { ...filmPath(camera, path), pose: { ...pose, offset: { dxPx: 0, dyPx: 0 } } };
  const { plane, calibration } = toBarPlane(trace, options);
  return { pose, calibration, errorM: pathError(plane.xM, plane.yM, path) };
}

describe('fitCameraPose', () => {
  // The bar plane turned in front of the camera by yaw: its right side goes away from the camera, which stands to the left.
  const cases: [yawDeg: number, pitchDeg: number, thicknessM: number][] = [
    [0, 0, 0.05],
    [12, 3, 0.03],
    [-25, -4, 0.06],
    [33, 5, 0.05],
  ];
  it.each(cases)(
    'finds the angle, the side and the scale at %d degrees of yaw, %d of pitch, a thickness of %d m',
    async (yawDeg, pitchDeg, thicknessM) => {
      const { calibration, errorM } = await filmed({ ...near, yawDeg, pitchDeg }, thicknessM);
      const { offSquareRad, metresPerPx, camera } = calibration;
      expect(Math.abs((offSquareRad * 180) / Math.PI - Math.abs(yawDeg))).toBeLessThan(2);
      if (yawDeg !== 0) expect(camera?.side).toBe(yawDeg > 0 ? 'left' : 'right');
      expect(Math.abs(metresPerPx / (2.8 / 900) - 1)).toBeLessThan(0.01);
      expect(errorM).toBeLessThan(0.003);
    },
  );

  it('tells the rim from a bevel that is as dark as the disc’s side behind it', async () => {
    const look = { lipFrom: 0.967, edgeLight: 35, faceLight: 110 };
    const { calibration, errorM } = await filmed(
      { ...near, focalPx: 1500, yawDeg: 9, pitchDeg: 3 },
      0.16,
      look,
    );
    expect(Math.abs(calibration.metresPerPx / (2.8 / 1500) - 1)).toBeLessThan(0.004);
    expect(Math.abs((calibration.offSquareRad * 180) / Math.PI - 9)).toBeLessThan(1.5);
    expect(errorM).toBeLessThan(0.002);
  });

  it('tells the rim of a thick stack, whose lip shows more plainly on one side and whose far end lies far out', async () => {
    const look = { lipFrom: 0.965, edgeLight: 62, faceLight: 112 };
    const { calibration, pose, errorM } = await filmed(
      { ...near, focalPx: 1500, yawDeg: 26, pitchDeg: 6 },
      0.23,
      look,
    );
    expect(Math.abs(pose.thicknessRadii * 0.225 - 0.23)).toBeLessThan(0.03);
    expect(Math.abs(calibration.metresPerPx / (2.8 / 1500) - 1)).toBeLessThan(0.004);
    expect(Math.abs((calibration.offSquareRad * 180) / Math.PI - 26)).toBeLessThan(1);
    expect(errorM).toBeLessThan(0.002);
  });

  it('knows the focal length where the view is oblique', async () => {
    const { pose } = await filmed({ ...near, yawDeg: 30 }, 0.05);
    expect(Math.abs(pose.focalPx / 900 - 1)).toBeLessThan(0.25);
    expect(pose.sigma.logFocal).toBeLessThan(0.15);
  });

  it('hardly knows the focal length where the view is square', async () => {
    const { pose, calibration } = await filmed(near, 0.05);
    expect(pose.sigma.logFocal).toBeGreaterThan(0.3);
    expect(calibration.camera!.distanceSigmaM).toBeGreaterThan(0.5);
  });

  it('finds a thick disc turned away and down where a thin, squarer one had looked likely', async () => {
    const spec = drawRenderedPair(206).films[0].spec;
    const size = { widthPx: spec.film.widthPx, heightPx: spec.film.heightPx };
    const { views, frames } = paintedViews(spec, 8);
    const pose = (await fitCameraPose(views, size))!;
    const { px, py, rim } = frames[4];
    const { aPx, bPx } = rimOfPose(pose, { xPx: px, yPx: py }, size);
    expect(Math.abs(aPx / rim.a_px - 1)).toBeLessThan(0.005);
    expect(Math.abs(bPx / aPx - rim.b_px / rim.a_px)).toBeLessThan(0.005);
    // 10.5 degrees and 1 cm where near and far rim were not let go together.
    expect(Math.abs((Math.acos(-pose.normal[2]) * 180) / Math.PI - 21.5)).toBeLessThan(1);
    expect(pose.thicknessRadii * usualDiscRadiusM).toBeGreaterThan(0.08);
  });

  it('finds the rim where what was followed is smaller and beside it', async () => {
    const camera = { ...near, yawDeg: 12 };
    const views = path.map(([x, y], frame) => {
      const view = discView(camera, 0.06, x, y, frame);
      const { xPx, yPx, aPx, bPx, thetaRad } = view.ring;
      const ring = {
        xPx: xPx + 0.06 * aPx,
        yPx: yPx - 0.08 * aPx,
        aPx: 0.85 * aPx,
        bPx: 0.85 * bPx,
        thetaRad,
      };
      return { ...view, ring };
    });
    const followed = (await fitCameraPose(views, picture))!;
    const sought = (await fitCameraPose(
      views.map((view, k) => ({ ...view, ring: discView(camera, 0.06, ...path[k], k).ring })),
      picture,
    ))!;
    expect(followed.distanceRadii / sought.distanceRadii).toBeCloseTo(1, 2);
    expect(followed.normal[0]).toBeCloseTo(sought.normal[0], 2);
  });

  it('gives the same pose to the bit where another thread makes half of the fits, or lost the question', async () => {
    const views = path.map(([x, y], frame) => discView({ ...near, yawDeg: 12 }, 0.06, x, y, frame));
    const alone = await fitCameraPose(views, picture);
    let made = 0;
    const both = await fitCameraPose(views, picture, {
      fitting: (question) => {
        const problem = new PoseProblem(structuredClone(question));
        return (errands) => {
          made += errands.length;
          return Promise.resolve(structuredClone(answersTo(problem, structuredClone(errands))));
        };
      },
    });
    expect(both).toEqual(alone);
    expect(made).toBeGreaterThan(50);
    const lost = await fitCameraPose(views, picture, { fitting: () => () => Promise.resolve(null) });
    expect(lost).toEqual(alone);
  });

  it('gives no pose where edges lie about by chance', async () => {
    for (const seed of [1, 2, 3]) {
      const random = seededRandom(seed);
      const light = Array.from({ length: 4096 }, () => 60 + 120 * random.uniform());
      const clutter = path.slice(0, 6).map(([x, y], frame) => {
        const { image, ...view } = discView(near, 0.05, x, y, frame);
        const { width } = image;
        const data = image.data.map((_, i) => {
          const [u, v] = [Math.floor((i % width) / 9), Math.floor((Math.floor(i / width) + 3 * frame) / 9)];
          return light[(u + 61 * v) % light.length];
        });
        return { ...view, image: { ...image, data } };
      });
      expect(await fitCameraPose(clutter, picture)).toBeNull();
    }
  });

  it('gives no pose for too few views, or where no rim shows', async () => {
    const views = path.map(([x, y], frame) => discView(near, 0.05, x, y, frame));
    expect(await fitCameraPose(views.slice(0, 3), picture)).toBeNull();
    const blank = views.map((v) => ({ ...v, image: { ...v.image, data: v.image.data.map(() => 128) } }));
    expect(await fitCameraPose(blank, picture)).toBeNull();
  });
});

const fit = (yawDeg: number, score: number) => ({ p: [0, (yawDeg * Math.PI) / 180], score });

describe('spreadOfOffSquare', () => {
  const degrees = (...fits: ReturnType<typeof fit>[]): number =>
    (spreadOfOffSquare(fits, fits[0]) * 180) / Math.PI;

  it('is nothing where the same angle explains the edges to either side, and that of the angles where they differ', () => {
    expect(degrees(fit(20, 100), fit(-20.5, 100))).toBe(0);
    expect(degrees(fit(20, 100), fit(-14, 100))).toBeCloseTo(6 / Math.SQRT2, 6);
  });
});

describe('spreadOfYaw', () => {
  const first = fit(10, 100);
  const degrees = (...fits: ReturnType<typeof fit>[]): number =>
    (spreadOfYaw([first, ...fits], first) * 180) / Math.PI;

  it('is nothing where every fit found the same yaw, or others explain the edges far worse', () => {
    expect(degrees(fit(10, 100), fit(10.4, 99))).toBe(0);
    expect(degrees(fit(-10, 0))).toBeLessThan(0.2);
  });

  it('is that of two equal readings where the other side explains the edges as well, however often it was found', () => {
    expect(degrees(fit(-5, 100))).toBeCloseTo(15 / Math.SQRT2, 6);
    expect(degrees(fit(-5, 100), fit(-5, 100), fit(-5.2, 99))).toBeCloseTo(15 / Math.SQRT2, 6);
  });

  it('grows with the score of the other reading', () => {
    const at = [0, 50, 80, 90, 100].map((score) => degrees(fit(-5, score)));
    at.slice(1).forEach((value, i) => expect(value).toBeGreaterThan(at[i]));
  });
});
