import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeFilm } from '../../../electron/media/film.ts';
import { filmFrames } from '../../../electron/media/film-frame.ts';
import { layOutPanes, toFilm } from '../../../electron/media/film-layout.ts';
import { originsOf } from '../../../electron/media/film-origin.ts';
import { sideNames, type FilmSpec, type SideName } from '../../../electron/media/film-spec.ts';
import { filmFps, layOutTime } from '../../../electron/media/film-timeline.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { mapTime } from '../../../shared-lib/pair/time-map.ts';
import {
  blockCentres,
  boxesOf,
  codeSize,
  decodeLuma,
  makeCodedClip,
  readCode,
  stampsOf,
  type CodedClip,
} from './coded-clip.ts';
import { sideOf, specOf } from './film-case.ts';

const { ffmpeg, ffprobe } = findTools();
let folder: string;

const clips: Record<string, CodedClip> = {
  '30.mp4': { fps: 30, frames: 120 },
  '60.mov': { fps: 60, frames: 240 },
  '120.mkv': { fps: 120, frames: 250, startS: 3.4 },
  'uneven.mp4': { fps: 45, frames: 200, stamp: 'N+0.4*sin(N)+floor(N/20)*2' },
};
const courses = {
  reference: { start: 0.72, bottom: 1.31, lockout: 1.77 },
  today: { start: 0.55, bottom: 1.43, lockout: 1.68 },
};

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "film's [test], é力 "));
  for (const [name, clip] of Object.entries(clips)) makeCodedClip(ffmpeg, path.join(folder, name), clip);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function caseOf(reference: string, today: string): FilmSpec {
  const [a, b] = [reference, today].map((name) => path.join(folder, name));
  return specOf(
    sideOf(a, stampsOf(ffprobe!, a), courses.reference),
    sideOf(b, stampsOf(ffprobe!, b), courses.today, { mirror: true }),
    courses,
  );
}

/** The number painted in the clip that each picture of the film shows on a side. */
function codesIn(file: string, spec: FilmSpec, name: SideName): number[] {
  const layout = layOutPanes(spec, originsOf(spec), layOutTime(spec).shown)[name];
  const y = 2 * Math.round(toFilm(layout, 0, blockCentres[0].yPx).y / 2);
  const centres = blockCentres.map(({ xPx, yPx }) => Math.floor(toFilm(layout, xPx, yPx).x));
  const { width } = filmFrames[spec.shape ?? 'landscape'];
  return decodeLuma(ffmpeg, file, width, 2, { x: 0, y }).map((row) =>
    centres.reduce((code, x, bit) => code + (row[x] > 128 ? 2 ** bit : 0), 0),
  );
}

/** The frames whose interval holds a time, within the grace a film gives. */
function framesAt(ptsS: readonly number[], timeS: number): number[] {
  const at = (t: number): number => Math.max(0, ptsS.filter((pts) => pts - ptsS[0] <= t).length - 1);
  return [at(timeS), at(timeS + 0.0011)];
}

describe.each([
  ['30.mp4', '60.mov', {}],
  ['120.mkv', 'uneven.mp4', {}],
  ['30.mp4', '120.mkv', { shape: 'portrait', moments: [{ referenceS: 2.4, todayS: 1.9, text: 'Chest up' }] }],
] as [string, string, Partial<FilmSpec>][])('the film of %s and %s, %j', (reference, today, over) => {
  const file = (): string => path.join(folder, `${reference} ${today} 100%.mp4`);
  const frame = filmFrames[over.shape ?? 'landscape'];
  let spec: FilmSpec;
  let codes: Record<SideName, number[]>;
  const shares: number[] = [];
  beforeAll(async () => {
    spec = { ...caseOf(reference, today), ...over };
    await makeFilm(spec, file(), { ffmpeg, onProgress: (share) => shares.push(share) });
    codes = { reference: codesIn(file(), spec, 'reference'), today: codesIn(file(), spec, 'today') };
  });

  it('shows in every picture, on both sides, the frame whose interval holds the moment', () => {
    const { map, pictures, shown } = layOutTime(spec);
    for (const name of sideNames) {
      const ptsS = stampsOf(ffprobe!, spec[name].path);
      expect(codes[name]).toHaveLength(pictures);
      expect(codes[name]).toEqual(shown[name]);
      codes[name].forEach((code, k) => {
        expect(framesAt(ptsS, mapTime(map.outS, map[`${name}S`], k / filmFps))).toContain(code);
      });
    }
  });

  it('shows the frames of an event at the same picture, give or take one', () => {
    const { map } = layOutTime(spec);
    for (const name of sideNames) {
      const ptsS = stampsOf(ffprobe!, spec[name].path);
      spec.knots.forEach((knot) => {
        const frame = framesAt(ptsS, knot[`${name}S`])[0];
        const eventPicture = mapTime(map[`${name}S`], map.outS, knot[`${name}S`]) * filmFps;
        const around = [Math.floor(eventPicture) - 1, Math.ceil(eventPicture) + 1].map((k) => codes[name][k]);
        expect(frame).toBeGreaterThanOrEqual(around[0]);
        expect(frame).toBeLessThanOrEqual(around[1]);
      });
    }
  });

  it('is H.264 in 4:2:0 that starts before it has loaded', () => {
    const probed = JSON.parse(
      execFileSync(ffprobe!, ['-v', 'error', '-show_streams', '-of', 'json', file()], { encoding: 'utf8' }),
    ) as { streams: Record<string, unknown>[] };
    expect(probed.streams).toHaveLength(1);
    expect(probed.streams[0]).toMatchObject({
      codec_name: 'h264',
      pix_fmt: 'yuv420p',
      width: frame.width,
      height: frame.height,
      avg_frame_rate: '30/1',
      color_space: 'bt709',
      color_range: 'tv',
    });
    const boxes = boxesOf(file());
    expect(boxes.indexOf('moov')).toBeGreaterThan(0);
    expect(boxes.indexOf('moov')).toBeLessThan(boxes.indexOf('mdat'));
  });

  it('tells how far it is and leaves no other file', () => {
    expect(shares.at(-1)).toBe(1);
    expect(shares.length).toBeGreaterThan(2);
    expect([...shares].sort((a, b) => a - b)).toEqual(shares);
    expect(readdirSync(folder).filter((name) => name.includes('partial'))).toEqual([]);
  });

  it('marks the bar where it is in the frame that is shown', () => {
    const layouts = layOutPanes(spec, originsOf(spec), layOutTime(spec).shown);
    const { shown } = layOutTime(spec);
    const picture = 3;
    const looks = { reference: [0, 114, 178], today: [213, 94, 0] };
    for (const name of sideNames) {
      const { xPx, yPx } = spec[name].samples[shown[name][picture]];
      const bar = toFilm(layouts[name], xPx, yPx);
      const centre = centreOfColour(file(), picture, bar, looks[name]);
      expect(Math.hypot(centre.x - bar.x, centre.y - bar.y)).toBeLessThan(1);
    }
  });
});

/** Middle of the pixels of a colour within 20 pixels of a point of a picture. */
function centreOfColour(
  file: string,
  picture: number,
  near: { x: number; y: number },
  colour: readonly number[],
): { x: number; y: number } {
  const size = 40;
  const corner = { x: 2 * Math.round((near.x - 20) / 2), y: 2 * Math.round((near.y - 20) / 2) };
  const raw = execFileSync(ffmpeg, [
    ...['-v', 'error', '-i', `file:${file}`, '-frames:v', '1', '-f', 'rawvideo', '-pix_fmt', 'rgb24'],
    ...['-vf', `select=eq(n\\,${picture}),crop=${size}:${size}:${corner.x}:${corner.y}`, '-'],
  ]);
  const sum = { x: 0, y: 0, n: 0 };
  for (let i = 0; i < size * size; i += 1) {
    const distance = Math.hypot(...[0, 1, 2].map((c) => raw[3 * i + c] - colour[c]));
    if (distance > 70) continue;
    sum.x += (i % size) + 0.5;
    sum.y += Math.floor(i / size) + 0.5;
    sum.n += 1;
  }
  return { x: corner.x + sum.x / sum.n, y: corner.y + sum.y / sum.n };
}

describe('a film that is stopped', () => {
  it('before its start never starts, on the way leaves nothing', async () => {
    const spec = caseOf('30.mp4', '60.mov');
    const out = path.join(folder, 'stopped', 'film.mp4');
    const before = new AbortController();
    before.abort();
    await expect(makeFilm(spec, out, { ffmpeg, signal: before.signal })).rejects.toMatchObject({
      kind: 'stopped',
    });
    expect(existsSync(path.dirname(out))).toBe(false);
    const during = new AbortController();
    const onProgress = (): void => during.abort();
    await expect(makeFilm(spec, out, { ffmpeg, signal: during.signal, onProgress })).rejects.toMatchObject({
      kind: 'stopped',
    });
    expect(readdirSync(path.dirname(out))).toEqual([]);
  });
});

it('reads the painted number back', () => {
  const frames = decodeLuma(ffmpeg, path.join(folder, '60.mov'), codeSize.widthPx, codeSize.heightPx);
  const codes = frames.map((luma) => readCode(luma, codeSize.widthPx));
  expect(codes).toEqual(frames.map((_, i) => i));
  expect(codes).toHaveLength(240);
});
