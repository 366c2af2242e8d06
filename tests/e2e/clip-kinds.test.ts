import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { browserPath } from './browser.ts';
import { openApp, type OpenApp } from './open-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

/** The demo's pair as phones write: one lies in the file in HEVC and is turned by its display matrix, one has an uneven rate. */
describe.skipIf(browserPath === null)(
  'the whole job on clips that are turned, in HEVC and of a varying rate',
  () => {
    let folder: string;
    let open: OpenApp;
    let page: Page;
    const file = (name: string): string => path.join(folder, name);

    beforeAll(async () => {
      folder = await mkdtemp(path.join(tmpdir(), 'lockstep-kinds-'));
      const { ffmpeg } = findTools();
      const run = (...words: string[]) => promisify(execFile)(ffmpeg, ['-v', 'error', '-y', ...words]);
      await run(
        ...[
          '-i',
          demo('bench-practice.mp4'),
          '-vf',
          'scale=960:540:flags=area,transpose=clock',
          '-c:v',
          'libx265',
        ],
        ...[
          '-preset',
          'ultrafast',
          '-crf',
          '20',
          '-tag:v',
          'hvc1',
          '-x265-params',
          'log-level=none:bframes=3',
        ],
        file('lying.mp4'),
      );
      await run('-i', file('lying.mp4'), '-c', 'copy', '-metadata:s:v', 'rotate=90', file('turned.mov'));
      // Of 60 pictures a second every second and now and then one more is missing; each keeps its own time.
      await run(
        ...[
          '-i',
          demo('bench-heavy.mp4'),
          '-vf',
          "select='not(mod(n,2))*not(eq(mod(n,14),4))',scale=960:540:flags=area",
        ],
        ...[
          '-fps_mode',
          'passthrough',
          '-enc_time_base',
          '1/90000',
          '-c:v',
          'libx264',
          '-preset',
          'veryfast',
        ],
        ...['-crf', '18', file('uneven.mp4')],
      );
      open = await openApp(path.join(folder, 'kept'));
      page = open.page;
    }, 120_000);
    afterAll(async () => {
      await open.close();
      await rm(folder, { recursive: true, force: true });
    });

    it('takes them in upright', async () => {
      await page.getByRole('button', { name: 'New review' }).click();
      await page.getByText('Drop a clip here').first().waitFor();
      await page.getByText('Bench press').click();
      const inputs = page.locator('input[type=file]');
      await inputs.nth(0).setInputFiles(file('turned.mov'));
      await page.getByText('960 × 540, 30 frames a second').waitFor();
      await inputs.nth(1).setInputFiles(file('uneven.mp4'));
      await expect
        .poll(() => page.getByText(/960 × 540, [\d.]+ frames a second/).count(), { timeout: 30_000 })
        .toBe(2);
      const loaded =
        "[...document.querySelectorAll('.clip-picture')].filter((one) => one.naturalWidth > 0).length";
      await expect.poll(() => page.evaluate(loaded), { timeout: 30_000 }).toBe(2);
      const sizes = await page.evaluate<[number, number][]>(
        "[...document.querySelectorAll('.clip-picture')].map((one) => [one.naturalWidth, one.naturalHeight])",
      );
      expect(sizes.map(([width, height]) => (width / height).toFixed(2))).toEqual(['1.78', '1.78']);
    }, 60_000);

    it('says what the pair’s own clips say, each picture at its own time', async () => {
      await page.getByRole('button', { name: 'Compare the two' }).click();
      await page.locator('.line-up').waitFor({ timeout: 300_000 });
      const said = (await page.locator('.change').allInnerTexts()).join(' ').replaceAll('\u00a0', ' ');
      expect(said).toMatch(/descent took 0\.(8|9)\d s .* longer/);
      expect(said).toMatch(/toward the feet/);
      await page.locator('.change', { hasText: 'toward the feet' }).first().click();
      const canvas = page.locator('canvas.today');
      await expect
        .poll(
          async () => {
            const label = (await canvas.getAttribute('aria-label')) ?? '';
            return (
              /frame (\d+)/.exec(label)?.[1] === (await canvas.getAttribute('data-frame')) &&
              Number(/frame (\d+)/.exec(label)![1]) > 30
            );
          },
          { timeout: 30_000 },
        )
        .toBe(true);
    }, 360_000);

    it('hands the page and the film back', async () => {
      await page.getByRole('button', { name: 'Hand back', exact: true }).first().click();
      const make = page.getByRole('button', { name: 'Make the page and the film' });
      await expect.poll(() => make.isEnabled(), { timeout: 60_000 }).toBe(true);
      await make.click();
      await page.getByRole('link', { name: 'page.html', exact: true }).waitFor({ timeout: 120_000 });
      const made = (await page.locator('.made-in').innerText()).trim();
      expect(await readFile(path.join(made, 'page.html'), 'utf8')).toContain('toward the feet');
      expect((await readFile(path.join(made, 'side-by-side.mp4'))).length).toBeGreaterThan(100_000);
      expect(open.complaints).toEqual([]);
    }, 300_000);
  },
);
