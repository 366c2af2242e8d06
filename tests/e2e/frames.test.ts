import { execFileSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { paneScale, sharedScale, toPane } from '../../renderer/panes/scale.ts';
import { wholeView } from '../../renderer/panes/view.ts';
import { answerSchema } from '../../shared-lib/contract/desk.ts';
import { lineUpSchema, type LineUp } from '../../shared-lib/contract/line-up.ts';
import { sideNames, type SideName } from '../../shared-lib/contract/review.ts';
import { browserPath } from './browser.ts';
import { bitCentres, liftFrames, writePainted } from './painted-clips.ts';
import { openApp, type OpenApp } from './open-app.ts';

const { ffmpeg } = findTools();
const quick = ['-c:v', 'libx264', '-preset', 'veryfast', '-crf', '16', '-bf', '3', '-g', '48'];
/** Six of seven pictures are kept, at their own times. */
const kept = (i: number): boolean => i % 7 !== 3;
const keptTimes = "setpts='(7*floor(N/6)+mod(N,6)+gte(mod(N,6),3))/30/TB'";

interface Made {
  file: string;
  /** Picture of the lift by the code painted in the frame. */
  sourceOf: (code: number) => number;
  /** Code of the first frame that the file shows. */
  first: number;
}

let folder: string;
let yPx: number[];

/** Clips in pairs: the kinds that players and decoders most often disagree on. */
function makeClips(): Record<string, Record<SideName, Made>> {
  const lift = liftFrames(ffmpeg);
  yPx = lift.yPx;
  const file = (name: string): string => path.join(folder, name);
  const same = (code: number): number => code;

  writePainted(ffmpeg, file('whole.mp4'), lift.pictures, quick);
  // Cut inside a group of pictures without coding anew: the file holds frames that its edit list hides.
  execFileSync(ffmpeg, [
    ...['-v', 'error', '-y', '-ss', '0.41', '-i', file('whole.mp4'), '-c', 'copy', file('cut.mp4')],
  ]);
  writePainted(ffmpeg, file('hevc.mp4'), lift.pictures, [
    ...['-c:v', 'libx265', '-preset', 'ultrafast', '-crf', '16', '-tag:v', 'hvc1'],
    ...['-x265-params', 'log-level=none:bframes=3:keyint=48'],
  ]);
  writePainted(
    ffmpeg,
    file('uneven.mkv'),
    lift.pictures.filter((_, i) => kept(i)),
    ['-vf', keptTimes, '-fps_mode', 'passthrough', '-enc_time_base', '1/90000', ...quick],
  );
  writePainted(ffmpeg, file('lying.mp4'), lift.pictures, ['-vf', 'transpose=clock', ...quick]);
  // Shown upright by the display matrix alone; and its time begins late.
  execFileSync(ffmpeg, [
    ...['-v', 'error', '-y', '-i', file('lying.mp4'), '-c', 'copy', '-metadata:s:v', 'rotate=90'],
    ...['-output_ts_offset', '3.7', file('turned.mov')],
  ]);
  const sources = lift.pictures.flatMap((_, i) => (kept(i) ? [i] : []));
  return {
    'H.264 with B frames behind an edit list, and HEVC': {
      reference: { file: file('cut.mp4'), sourceOf: same, first: 13 },
      today: { file: file('hevc.mp4'), sourceOf: same, first: 0 },
    },
    'a variable frame rate, and a picture turned by its display matrix that starts late': {
      reference: { file: file('uneven.mkv'), sourceOf: (code) => sources[code], first: 0 },
      today: { file: file('turned.mov'), sourceOf: same, first: 0 },
    },
  };
}

describe.skipIf(browserPath === null)('the frame shown is the frame measured', () => {
  let open: OpenApp;
  let page: Page;
  let clips: ReturnType<typeof makeClips>;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-frames-'));
    clips = makeClips();
    open = await openApp(path.join(folder, 'reviews'));
    page = open.page;
  });
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  /** Index by the screen's own words, and the code read from the canvas once that frame is painted. */
  async function seen(lineUp: LineUp, name: SideName): Promise<{ frame: number; code: number }> {
    const canvas = page.locator(`canvas.${name}`);
    const words = await canvas.getAttribute('aria-label');
    const frame = Number(/frame (\d+)/.exec(words ?? '')?.[1]);
    await expect.poll(() => canvas.getAttribute('data-frame'), { timeout: 15_000 }).toBe(String(frame));
    const box = (await canvas.boundingBox())!;
    const [width, height] = [Math.round(box.width), Math.round(box.height)];
    const shared = sharedScale([lineUp.reference, lineUp.today], width, height, wholeView);
    const scale = paneScale(lineUp[name], shared, width, false);
    const points = bitCentres.map(({ xPx, yPx: y }) => toPane(scale, xPx, y).map(Math.round));
    const bits = await page.evaluate<number[]>(
      `${JSON.stringify(points)}.map(([x, y]) => document.querySelector('canvas.${name}').getContext('2d').getImageData(x, y, 1, 1).data[1])`,
    );
    return { frame, code: bits.reduce((sum, level, bit) => sum + (level > 128 ? 2 ** bit : 0), 0) };
  }

  it.each([0, 1])(
    'pair %i',
    async (which) => {
      const pair = Object.values(clips)[which];
      if (which > 0) await page.getByRole('button', { name: 'Reviews' }).click();
      await page.getByRole('button', { name: 'New review' }).click();
      await page.getByText('Bench press', { exact: true }).first().click();
      const inputs = page.locator('input[type=file]');
      await inputs.nth(0).setInputFiles(pair.reference.file);
      await inputs.nth(1).setInputFiles(pair.today.file);
      const answered = page.waitForResponse(
        (response) => (response.request().postData() ?? '').includes('"command":"compare"'),
        { timeout: 170_000 },
      );
      await page.getByRole('button', { name: 'Compare the two' }).click();
      const answer = answerSchema.parse(await (await answered).json());
      if (answer.kind === 'failed') throw new Error(`${answer.failure.what} ${answer.failure.advice}`);
      const lineUp = lineUpSchema.parse(answer.output);
      await page.locator('.line-up').waitFor();

      const looked = new Set<string>();
      const look = async (): Promise<void> => {
        for (const name of sideNames) {
          const { frame, code } = await seen(lineUp, name);
          expect(code, `${path.basename(pair[name].file)}, frame ${frame}`).toBe(frame + pair[name].first);
          looked.add(`${name} ${frame}`);
        }
      };
      const strip = (await page.locator('.strip').boundingBox())!;
      for (const share of [0.07, 0.31, 0.55, 0.72, 0.97]) {
        await page.mouse.click(strip.x + share * strip.width, strip.y + 10);
        await look();
        for (const key of ['ArrowRight', 'ArrowRight', 'Shift+ArrowRight', 'ArrowLeft']) {
          await page.keyboard.press(key);
          await look();
        }
      }
      expect(looked.size).toBeGreaterThan(30);

      // What was measured in a frame is where the bar is in that very frame: a frame early or late fits worse.
      for (const name of sideNames) {
        const { yPx: measured } = lineUp[name].track;
        const { first, sourceOf } = pair[name];
        const misses = [-1, 0, 1].map((shift) => {
          const errors = measured.flatMap((y, i) => {
            const truth = yPx[sourceOf(i + first + shift)];
            return y === null || truth === undefined ? [] : [(y - truth) ** 2];
          });
          return Math.sqrt(errors.reduce((sum, e) => sum + e, 0) / errors.length);
        });
        expect(misses[1]).toBeLessThan(0.5);
        expect(misses[1]).toBeLessThan(0.7 * Math.min(misses[0], misses[2]));
      }
    },
    240_000,
  );
});
