import { execFile } from 'node:child_process';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawScene, type SceneOverrides } from '../../../demo-data/draw-scene.ts';
import { blurPicture } from '../../../demo-data/film/blur.ts';
import { frameTimes } from '../../../demo-data/film/frame-times.ts';
import { handOf } from '../../../demo-data/film/hand.ts';
import { makeSensor } from '../../../demo-data/film/sensor.ts';
import { floatPlanes, type Planes } from '../../../demo-data/film/yuv.ts';
import { makePainter } from '../../../demo-data/paint/frame.ts';
import { renderClip } from '../../../demo-data/render-clip.ts';
import { shotOf } from '../../../demo-data/scene/shot.ts';
import { tripod } from './tripod.ts';

const run = promisify(execFile);
const tiny = { widthPx: 320, heightPx: 180, fps: 15 };
const brief: SceneOverrides = {
  lift: 'bench',
  plan: { leadS: 0.1, settleS: 0.4, holdS: 0.3, tailS: 0.1 },
  reps: [{ descentS: 0.8, pauseS: 0.3 }],
};
let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'scene-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function packets(file: string): Promise<number[]> {
  const args = [
    '-v',
    'error',
    '-select_streams',
    'v',
    '-show_entries',
    'packet=pts_time',
    '-of',
    'csv=p=0',
    file,
  ];
  const { stdout } = await run('ffprobe', args);
  return stdout
    .trim()
    .split('\n')
    .map(Number.parseFloat)
    .sort((a, b) => a - b);
}

const bytePlanes = (w: number, h: number): Planes<Uint8ClampedArray> => ({
  widthPx: w,
  heightPx: h,
  y: new Uint8ClampedArray(w * h),
  u: new Uint8ClampedArray((w * h) / 4),
  v: new Uint8ClampedArray((w * h) / 4),
});

const spread = (values: ArrayLike<number>): { mean: number; sd: number } => {
  const list = Array.from(values);
  const mean = list.reduce((a, b) => a + b, 0) / list.length;
  return { mean, sd: Math.sqrt(list.reduce((a, b) => a + (b - mean) ** 2, 0) / (list.length - 1)) };
};

describe('what the film does to the picture', () => {
  it('adds grain of the strength asked for at mid grey, without moving the mean', () => {
    const from = floatPlanes(256, 256);
    from.y.fill(16 + 219 * 0.46);
    from.u.fill(128);
    from.v.fill(128);
    const to = bytePlanes(256, 256);
    makeSensor({ widthPx: 256, heightPx: 256, vignette: 0, grain: 3, grey: false }, 1)(from, to);
    const { mean, sd } = spread(to.y);
    expect(Math.abs(sd - 3)).toBeLessThan(0.06);
    expect(Math.abs(mean - (16 + 219 * 0.46))).toBeLessThan(0.05);
    expect(Math.abs(spread(to.u).mean - 128)).toBeLessThan(0.1);
  });

  it('blurs a point into a spot of the variance asked for, and keeps its light and place', () => {
    for (const sigma of [0.6, 1, 1.7]) {
      const size = 41;
      const plane = new Float32Array(size * size);
      plane[20 * size + 20] = 1;
      blurPicture(plane, size, size, 1, sigma);
      let [mass, x, xx] = [0, 0, 0];
      plane.forEach((v, i) => {
        mass += v;
        x += v * ((i % size) - 20);
        xx += v * ((i % size) - 20) ** 2;
      });
      expect(mass).toBeCloseTo(1, 5);
      expect(x).toBeCloseTo(0, 5);
      expect(Math.sqrt(xx)).toBeCloseTo(sigma, 4);
    }
  });

  it('stamps an uneven film in order, on whole ticks, with the spread asked for', () => {
    const spec = drawScene(1, { film: { fps: 30, jitter: 0.1 } });
    const times = frameTimes(spec.film, 100, 4).map((f) => f.ptsS);
    const gaps = times.slice(1).map((t, i) => t - times[i]);
    expect(times[0]).toBe(0);
    expect(Math.min(...gaps)).toBeGreaterThan(0);
    expect(Math.abs(spread(gaps).sd * 30 - 0.1)).toBeLessThan(0.01);
    for (const t of times) expect(Math.abs(t * 1e4 - Math.round(t * 1e4))).toBeLessThan(1e-6);
  });

  it('shakes a hand-held camera by the pixels asked for', () => {
    const hand = handOf({ ...tripod, shakePx: 3 }, 10, 9);
    const pan = Array.from({ length: 20000 }, (_, i) => 1000 * hand(i / 50).panRad);
    expect(Math.abs(spread(pan).sd - 3)).toBeLessThan(0.3);
    expect(handOf(tripod, 10, 9)(1)).toEqual({ panRad: 0, tiltRad: 0, rollRad: 0, zoom: 1 });
  });

  it('pictures the still room the same through a turned camera as when the camera is put that way', () => {
    // The shaken film resamples the still; a camera placed with the same turn paints the room anew.
    const overrides: SceneOverrides = { ...brief, film: { widthPx: 640, heightPx: 360, blurPx: 0.8 } };
    const shaken = drawScene(21, { ...overrides, camera: { shakePx: 3 } });
    const placed = drawScene(21, overrides);
    const turn = shotOf(shaken).turnAt(0.2);
    const { camera } = placed;
    const put = {
      ...placed,
      camera: {
        ...camera,
        panRad: camera.panRad + turn.panRad,
        tiltRad: camera.tiltRad + turn.tiltRad,
        rollRad: camera.rollRad + turn.rollRad,
      },
    };
    const a = makePainter(shaken).paint(0.2).y;
    const b = makePainter(put).paint(0.2).y;
    let sum = 0;
    for (let j = 12; j < 348; j++)
      for (let i = 12; i < 628; i++) sum += Math.abs(a[j * 640 + i] - b[j * 640 + i]);
    expect(sum / (336 * 616)).toBeLessThan(1.2);
  });
});

describe('a rendered clip', () => {
  it('is the same, picture by picture, for the same spec', () => {
    const paint = () => {
      const spec = drawScene(31, { ...brief, film: tiny });
      return makePainter(spec).paint(0.9);
    };
    expect(Buffer.from(paint().y.buffer).equals(Buffer.from(paint().y.buffer))).toBe(true);
  });

  it('holds the frames and time stamps that its truth tells, at even and uneven rates', async () => {
    // At 30 frames a second an encoder left to itself takes the intervals for even.
    for (const [fps, jitter] of [
      [15, 0],
      [15, 0.15],
      [30, 0.12],
    ]) {
      const film = { ...tiny, fps, jitter };
      const file = join(folder, `rate-${fps}-${jitter}.mp4`);
      const truth = await renderClip(drawScene(32, { ...brief, film }), file);
      const times = await packets(file);
      expect(times.length).toBe(truth.frames.length);
      times.forEach((t, i) => expect(Math.abs(t - truth.frames[i].pts_s)).toBeLessThan(2e-5));
    }
  });

  const hashes = async (file: string): Promise<string[]> => {
    const { stdout } = await run('ffmpeg', [
      '-v',
      'error',
      '-i',
      file,
      '-fps_mode',
      'passthrough',
      '-f',
      'framemd5',
      '-',
    ]);
    return stdout
      .split('\n')
      .filter((line) => line.startsWith('0,'))
      .map((line) => line.split(',')[5].trim());
  };

  it('shows a picture again, bit for bit and under a time stamp of its own, where its truth says so', async () => {
    const films = [
      { ...tiny, repeatShare: 0.3 },
      { ...tiny, convertedFromFps: 12 },
    ];
    for (const [i, film] of films.entries()) {
      const file = join(folder, `again-${i}.mkv`);
      const { frames } = await renderClip(
        drawScene(35, { ...brief, film: { ...film, codec: 'ffv1' } }),
        file,
      );
      const seen = await hashes(file);
      expect(seen.length).toBe(frames.length);
      const again = frames.map((f, n) => n > 0 && f.taken_s === frames[n - 1].taken_s);
      expect(again.filter(Boolean).length).toBeGreaterThan(3);
      again.forEach((isAgain, n) => {
        if (n === 0) return;
        expect(seen[n] === seen[n - 1]).toBe(isAgain);
        expect(frames[n].px === frames[n - 1].px && frames[n].py === frames[n - 1].py).toBe(isAgain);
        expect(frames[n].t_s).toBeGreaterThan(frames[n - 1].t_s);
      });
      if ('convertedFromFps' in film) again.forEach((isAgain, n) => expect(isAgain).toBe(n % 5 === 1));
    }
  });

  it('leaves frames out and lets the time stamps jump', async () => {
    const file = join(folder, 'missing.mp4');
    const { frames } = await renderClip(drawScene(36, { ...brief, film: { ...tiny, dropShare: 0.2 } }), file);
    const times = await packets(file);
    expect(times.length).toBe(frames.length);
    times.forEach((t, i) => expect(Math.abs(t - frames[i].pts_s)).toBeLessThan(2e-5));
    const steps = times.slice(1).map((t, i) => Math.round((t - times[i]) * 15));
    expect(steps.filter((s) => s > 1).length).toBeGreaterThan(3);
    expect(Math.min(...steps)).toBe(1);
  });

  it('is taken in luminance when it is grey: no colour, and luma that differs where colours are strong alone', () => {
    const [inColour, grey] = [false, true].map((isGrey) => {
      const spec = drawScene(37, { ...brief, film: { ...tiny, grey: isGrey } });
      const to = bytePlanes(320, 180);
      makeSensor(spec.film, 1)(makePainter(spec).paint(0.5), to);
      return to;
    });
    expect(Math.max(...grey.u, ...grey.v)).toBe(128);
    expect(Math.min(...grey.u, ...grey.v)).toBe(128);
    const apart = grey.y.map((level, i) => Math.abs(level - inColour.y[i])).sort();
    expect(apart[Math.floor(apart.length / 2)]).toBeLessThanOrEqual(1);
    expect(apart[apart.length - 1]).toBeLessThan(16);
    expect(Math.max(...inColour.u)).toBeGreaterThan(135);
  });

  it('loses light toward the corners, by the share told, and clips at white', () => {
    const film = { widthPx: 256, heightPx: 144, vignette: 0.3, grain: 0, grey: true };
    const from = floatPlanes(256, 144);
    from.y.fill(16 + 100);
    const to = bytePlanes(256, 144);
    makeSensor(film, 1)(from, to);
    expect(to.y[72 * 256 + 128]).toBe(116);
    expect(((to.y[0] - 16) / 100) ** 2.2).toBeCloseTo(0.7, 1);
    from.y.fill(16 + 400);
    makeSensor(film, 1)(from, to);
    expect(Math.max(...to.y)).toBe(235);
    makeSensor(film, 1)(from, to, () => 0.2);
    expect(Math.max(...to.y)).toBeLessThan(235);
  });

  it('is stored lying and turned upright by the container', async () => {
    const show = [
      '-v',
      'error',
      '-show_entries',
      'stream=width,height:stream_side_data=rotation',
      '-of',
      'json',
    ];
    for (const [rotationDeg, tag] of [
      [90, -90],
      [270, 90],
    ] as const) {
      const file = join(folder, `turn-${rotationDeg}.mp4`);
      await renderClip(
        drawScene(33, { ...brief, film: { widthPx: 180, heightPx: 320, fps: 10, rotationDeg } }),
        file,
      );
      const { stdout } = await run('ffprobe', [...show, file]);
      const [stream] = (
        JSON.parse(stdout) as {
          streams: { width: number; height: number; side_data_list: { rotation: number }[] }[];
        }
      ).streams;
      expect([stream.width, stream.height, stream.side_data_list[0].rotation]).toEqual([320, 180, tag]);
    }
  });

  it('leaves nothing behind when it is stopped', async () => {
    const stop = new AbortController();
    const file = join(folder, 'stopped', 'clip.mp4');
    const job = renderClip(drawScene(34, { ...brief, film: tiny }), file, {
      signal: stop.signal,
      onProgress: (share) => {
        if (share > 0.2) stop.abort();
      },
    });
    await expect(job).rejects.toThrow();
    expect(await readdir(join(folder, 'stopped'))).toEqual([]);
  });
});
