import { execFile } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Truth } from '../../demo-data/truth/schema.ts';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));
const pictures = fileURLToPath(new URL('../../test-output/pointing/', import.meta.url));

/** The demo's practice rep, and a clip of a wall: no disc is in it. */
describe.skipIf(browserPath === null)('what is to be followed, pointed at', () => {
  let folder: string;
  let open: OpenApp;
  let page: Page;
  let truth: Truth;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-pointing-'));
    await mkdir(pictures, { recursive: true });
    const wall = path.join(folder, 'wall.mp4');
    const drawn = 'color=c=0x6a6f76:s=640x360:r=30:d=2,drawbox=x=80:y=0:w=60:h=360:color=0x303438:t=fill';
    await promisify(execFile)(findTools().ffmpeg, ['-v', 'error', '-f', 'lavfi', '-i', drawn, wall]);
    truth = JSON.parse(await readFile(demo('bench-practice.truth.json'), 'utf8')) as Truth;
    open = await openApp(path.join(folder, 'kept'));
    page = open.page;
    await page.getByRole('button', { name: 'New review' }).click();
    await page.getByText('Drop a clip here').first().waitFor();
    await page.getByText('Bench press').click();
    const inputs = page.locator('input[type=file]');
    await inputs.nth(0).setInputFiles(demo('bench-practice.mp4'));
    await page.getByText('1280 × 720, 30 frames a second').waitFor();
    await inputs.nth(1).setInputFiles(wall);
    await page.getByText('640 × 360, 30 frames a second').waitFor();
    await page.getByRole('button', { name: 'Set up', exact: true }).first().click();
  }, 120_000);
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  const side = (name: string) => page.getByRole('region', { name });
  /** Clicks a place of the clip, in its own pixels. */
  async function clickAt(name: string, xPx: number, yPx: number, widthPx: number): Promise<void> {
    const picture = side(name).locator('.clip-figure > svg');
    const box = (await picture.boundingBox())!;
    const unit = box.width / widthPx;
    await picture.click({ position: { x: (xPx + 0.5) * unit, y: (yPx + 0.5) * unit } });
  }
  const looks = async (name: string): Promise<void> => {
    await page.screenshot({ path: path.join(pictures, `${name}.png`), fullPage: true });
    await expectAccessible(page);
  };

  it('shows a clip in which no disc was found, and asks for it', async () => {
    await side('Today’s rep').getByText('No disc is followed here yet').waitFor({ timeout: 120_000 });
    await looks('not-found');
    await clickAt('Today’s rep', 320, 180, 640);
    await page.getByText('No disc was found round').waitFor({ timeout: 60_000 });
    await side('Today’s rep').getByText('No disc is followed here yet').waitFor();
  }, 200_000);

  it('follows the sleeve’s end instead of the disc, and makes its way smaller', async () => {
    const today = side('Reference rep');
    const figures = today.locator('[data-metres-per-px]');
    await figures.waitFor({ timeout: 120_000 });
    await today.getByRole('button', { name: 'Change followed' }).click();
    const frame = Number(await today.getByRole('slider', { name: 'Picture shown' }).inputValue());
    const { px, py } = truth.frames[frame];
    // On the side of the picture's middle that the disc is on, farther out.
    const [cx, cy] = [(truth.film.width_px - 1) / 2, (truth.film.height_px - 1) / 2];
    await clickAt('Reference rep', cx + 1.1 * (px - cx), cy + 1.1 * (py - cy), truth.film.width_px);
    const words = today.getByText('its way is made smaller by');
    await words.waitFor({ timeout: 120_000 });
    await today.getByRole('button', { name: 'Change followed' }).click();
    await today.getByLabel('Stands out from the disc, cm').fill('38');
    await today.getByLabel('Camera’s distance, m').fill('3,4');
    await expect
      .poll(() => words.innerText(), { timeout: 60_000 })
      .toMatch(
        /38 cm nearer than the disc and 3\.4 m from the camera: its way is made smaller by 11\.\d % ± 1\.\d %/,
      );
    await looks('sleeve-end');
    await today.getByRole('button', { name: 'Follow the disc again' }).click();
    await words.waitFor({ state: 'detached', timeout: 60_000 });
  }, 300_000);
});
