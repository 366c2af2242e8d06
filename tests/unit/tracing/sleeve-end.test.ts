import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { extent, mean } from 'd3-array';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawScene, type SceneOverrides } from '../../../demo-data/draw-scene.ts';
import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import { inScene, layoutOf } from '../../../demo-data/scene/layout.ts';
import { appearance, shotOf } from '../../../demo-data/scene/shot.ts';
import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import { calibrated } from '../../../electron/desk/calibrated-clip.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { trackSleeveEnd } from '../../../electron/tracing/track-sleeve-end.ts';
import { discFromSleeveEnd, sleeveEndFactor } from '../../../shared-lib/camera/sleeve-end.ts';
import { nothingSaid, type ClipOptions } from '../../../shared-lib/contract/review.ts';
import { stillCamera, type Trace } from '../../../shared-lib/contract/trace.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-sleeve-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A rendered lift whose sleeve's end is pointed at, and whose rim is drawn, at one moment each. */
async function pointed(name: string, seed: number, wishes: SceneOverrides) {
  const spec = drawScene(seed, {
    facing: 'right',
    plan: { leadS: 0.3, settleS: 0.5, holdS: 0.5, tailS: 0.3 },
    ...wishes,
    film: { widthPx: 960, heightPx: 540, grey: true },
  });
  const { clip, truth } = await cachedClip(name, spec, folder);
  const layout = layoutOf(spec);
  const [motion, shot] = [motionOf(spec), shotOf(spec)];
  const frame = Math.floor(truth.frames.length / 2);
  const moment = truth.frames[frame];
  const end = appearance(shot, moment.taken_s, (tS) => {
    const { xM, yM } = motion.at(tS);
    return inScene(layout, xM, yM, layout.sleeveEndZ);
  });
  const { rim, pts_s } = truth.frames[4];
  const options: ClipOptions = {
    ...nothingSaid,
    discMm: 1000 * truth.disc.diameter_m,
    rim: {
      ptsS: pts_s,
      ...{ xPx: rim.x_px, yPx: rim.y_px, aPx: rim.a_px, bPx: rim.b_px, thetaRad: rim.theta_rad },
    },
    sleeveEnd: { ptsS: moment.pts_s, ...end, proudM: layout.sleeveEndZ, cameraM: spec.camera.zM },
  };
  const media = await probeClip(clip, findTools());
  const tracked = await trackSleeveEnd({
    file: clip,
    ffmpeg: findTools().ffmpeg,
    media,
    sleeveEnd: options.sleeveEnd!,
    rim: options.rim!,
  });
  return { truth, options, clip, tracked: { media, ...tracked } };
}

const span = (values: readonly number[]): number => {
  const [least = 0, most = 0] = extent(values);
  return most - least;
};

describe('following the sleeve’s end', () => {
  it.each([
    ['a squat', 21, { lift: 'squat' }],
    ['a hand-held bench press from the side of square', 22, { lift: 'bench', camera: { shakePx: 2 } }],
  ] as const)(
    'measures the disc’s way in %s',
    async (name, seed, wishes) => {
      const { truth, options, clip, tracked } = await pointed(name, seed, wishes);
      const { plane, calibration } = calibrated(clip, tracked, options);
      const seen = truth.frames.map((_, i) => i).filter((i) => plane.state[i] !== 2);
      expect(seen.length).toBeGreaterThan(0.97 * truth.frames.length);
      const errors = (of: (i: number) => number): number[] => {
        const off = seen.map(of);
        const middle = mean(off)!;
        return off.map((value) => value - middle);
      };
      const away = [
        errors((i) => plane.yM[i] - truth.frames[i].y_m),
        errors((i) => plane.xM[i] - truth.frames[i].x_m),
      ];
      const rmsMm = 1000 * Math.sqrt(mean(seen, (_, k) => away[0][k] ** 2 + away[1][k] ** 2)!);
      expect(rmsMm).toBeLessThan(2);
      const trueTravelM = span(seen.map((i) => truth.frames[i].y_m));
      const travelM = span(seen.map((i) => plane.yM[i]));
      expect(Math.abs(travelM / trueTravelM - 1)).toBeLessThan(0.008);
      // Taken for the disc, the end moves 7 % too far and more.
      expect(travelM / calibration.sleeveEnd!.factor / trueTravelM).toBeGreaterThan(1.06);
      // Nobody measured how far it stands out or how far away the camera was: less sure, and right within that.
      const guessed = calibrated(clip, tracked, {
        ...options,
        sleeveEnd: { ...options.sleeveEnd!, proudM: null, cameraM: null },
      });
      const factor = guessed.calibration.sleeveEnd!;
      expect(factor.factorSigma).toBeGreaterThan(3 * calibration.sleeveEnd!.factorSigma);
      expect(Math.abs(factor.factor - calibration.sleeveEnd!.factor)).toBeLessThan(1.96 * factor.factorSigma);
      expect(guessed.calibration.rimScaleSigma).toBeGreaterThan(calibration.rimScaleSigma);
    },
    60_000,
  );

  it('asks for the rim where none is drawn', async () => {
    const { options, clip, tracked } = await pointed('a squat', 21, { lift: 'squat' });
    expect(() => calibrated(clip, tracked, { ...options, rim: null })).toThrow(/alone tells neither/);
  }, 60_000);
});

describe('sleeveEndFactor', () => {
  const picture = { widthPx: 1920, heightPx: 1080 };
  const rim = { aPx: 135, bPx: 135 };

  it('is 1 - 0.2 / 3 for an end 0.2 m proud at 3 m, as unsure as the two lengths are', () => {
    const { factor, factorSigma } = sleeveEndFactor({ proudM: 0.2, cameraM: 3 }, rim, picture, 0.45);
    expect(factor).toBeCloseTo(0.933333, 6);
    expect(factorSigma).toBeCloseTo(Math.hypot(0.01 / 3, (0.2 / 9) * 0.15), 9);
  });

  it('takes the distance from the rim where nobody measured it', () => {
    const { cameraM } = sleeveEndFactor({ proudM: 0.2, cameraM: null }, rim, picture, 0.45);
    expect(cameraM).toBeCloseTo((0.95 * 1920 * 0.225) / 135, 9);
  });
});

describe('discFromSleeveEnd', () => {
  it('has the disc where its rim was drawn, and elsewhere moves it less than the end', () => {
    const trace: Trace = {
      samples: [0, 1, 2].map((frame) => ({
        ...{ frame, ptsS: frame / 30, xPx: 500, yPx: 300 + 100 * frame, rimRadiusPx: NaN, confidence: 1 },
        ...{
          varXPx2: 1,
          varYPx2: 1,
          covXYPx2: 0,
          state: 'seen',
          camera: { ...stillCamera, txPx: 3 * frame },
        },
      })),
      rim: { xPx: 0, yPx: 0, aPx: 1, bPx: 1, thetaRad: 0 },
      rimSigma: { aPx: 1, bPx: 1 },
    };
    const drawn = { ptsS: 1 / 30, xPx: 490, yPx: 405, aPx: 100, bPx: 96, thetaRad: 0.1 };
    const factor = { proudM: 0.3, cameraM: 3, factor: 0.9, factorSigma: 0.01 };
    const { samples, rim } = discFromSleeveEnd(trace, drawn, factor);
    expect([samples[1].xPx, samples[1].yPx]).toEqual([490, 405]);
    expect(samples[2].yPx - samples[1].yPx).toBeCloseTo(90, 9);
    // The camera's own three pixels are no movement of the bar and stay whole.
    expect(samples[2].xPx - samples[1].xPx).toBeCloseTo(-3 + 0.9 * 3, 9);
    expect(samples[2].varYPx2).toBeCloseTo(0.81, 9);
    expect(rim).toMatchObject({ aPx: 100, bPx: 96 });
  });
});
