import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reviewSchema } from '../../shared-lib/contract/review.ts';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/corrections/', import.meta.url));

describe.skipIf(browserPath === null)('what was found, put right by hand', () => {
  let folder: string;
  let open: OpenApp;
  let page: Page;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-corrections-'));
    await mkdir(pictures, { recursive: true });
    open = await openApp(folder, async () => {
      // Opened at Follow: a comparison under way would follow both clips before anybody looks.
      const text = await readFile(reviewFile(), 'utf8');
      await writeFile(reviewFile(), text.replace('"step": "Line up"', '"step": "Follow"'));
    });
    page = open.page;
    await page.getByText('Demo: practice rep and heavy single').click();
  }, 60_000);
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  const reviewFile = (): string => path.join(folder, 'reviews', 'demo-review', 'review.json');
  const step = (name: string) => page.getByRole('button', { name, exact: true }).first();
  const kept = async () => {
    await page.getByText('Kept', { exact: true }).waitFor({ timeout: 10_000 });
    const text = await readFile(reviewFile(), 'utf8');
    return reviewSchema.parse(JSON.parse(text)).reference!;
  };
  const looks = async (name: string): Promise<void> => {
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await page.screenshot({ path: path.join(pictures, `${name}-${colorScheme}.png`) });
      await expectAccessible(page);
    }
    await page.emulateMedia({ colorScheme: 'light' });
  };
  const sample = async () => {
    const status = page.locator('.sample-panel [role=status]');
    return [Number(await status.getAttribute('data-x')), Number(await status.getAttribute('data-y'))];
  };

  it('shows the way while it grows', async () => {
    await expect
      .poll(() => page.locator('.growing').getAttribute('data-points'), { timeout: 60_000, interval: 50 })
      .toMatch(/^[1-9]\d+$/);
    await page.locator('.followed').waitFor({ timeout: 120_000 });
  }, 180_000);

  it('takes the trace through a point that was dragged, and back again', async () => {
    await page.locator('td[data-measure=descent_s]').waitFor({ timeout: 60_000 });
    const handle = page.getByRole('slider', { name: 'Bar in frame 0' });
    const before = await sample();
    const box = (await handle.locator('.knob').boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 12, y - 9, { steps: 4 });
    await expect.poll(() => page.locator('.loupe').count()).toBe(1);
    expect(Number(await page.locator('.loupe').getAttribute('data-times'))).toBeGreaterThanOrEqual(4);
    await page.mouse.up();
    await page.getByText('fixed by hand').first().waitFor();
    const { fixed } = (await kept()).options;
    expect(fixed).toHaveLength(1);
    await expect.poll(sample, { timeout: 60_000 }).toEqual([fixed[0].xPx, fixed[0].yPx]);
    expect(fixed[0].xPx).toBeGreaterThan(before[0] + 8);
    expect(fixed[0].yPx).toBeLessThan(before[1] - 6);
    await looks('follow');
    await page.keyboard.press('Control+z');
    await expect.poll(sample, { timeout: 60_000 }).toEqual(before);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(sample, { timeout: 60_000 }).toEqual([fixed[0].xPx, fixed[0].yPx]);
    await page.getByRole('button', { name: 'Remove the fixed point in frame 0' }).click();
    await expect.poll(sample, { timeout: 60_000 }).toEqual(before);
  }, 120_000);

  /** Drags the middle of a handle by so many screen pixels, looking at it magnified on the way. */
  async function drag(
    name: string | RegExp,
    by: readonly [number, number],
    isMagnified = true,
  ): Promise<void> {
    const handle = page.getByRole('slider', { name }).first();
    await handle.scrollIntoViewIfNeeded();
    const box = (await handle.locator('.knob').boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + by[0], y + by[1], { steps: 4 });
    if (isMagnified) await expect.poll(() => page.locator('.loupe').count()).toBe(1);
    await page.mouse.up();
  }

  it('moves a point by the keys alone: half a pixel, and five', async () => {
    await page.getByRole('slider', { name: 'Bar in frame 0' }).focus();
    const before = await sample();
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('ArrowRight');
    await expect.poll(async () => (await kept()).options.fixed.at(0)?.yPx).toBeCloseTo(before[1] + 5, 6);
    await expect.poll(async () => (await kept()).options.fixed.at(0)?.xPx).toBeCloseTo(before[0] + 0.5, 6);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept()).options.fixed).toEqual([]);
  }, 60_000);

  it('measures again when an event is moved by a key, and puts it back with one', async () => {
    const descent = page.locator('td[data-measure=descent_s]');
    await page.getByText('In the whole clip').waitFor({ timeout: 60_000 });
    const before = Number.parseFloat(await descent.innerText());
    const start = page.getByRole('slider', { name: 'start', exact: false }).first();
    await start.focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await expect
      .poll(async () => Number.parseFloat(await descent.innerText()), { timeout: 60_000 })
      .toBeCloseTo(before + 0.1, 2);
    expect((await kept()).events).toHaveLength(1);
    await page.getByRole('button', { name: /Put the start back/ }).waitFor();
    await start.focus();
    await page.keyboard.press('Delete');
    await expect
      .poll(async () => Number.parseFloat(await descent.innerText()), { timeout: 60_000 })
      .toBeCloseTo(before, 2);
    expect((await kept()).events).toEqual([]);
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept()).events.length).toBe(1);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(async () => (await kept()).events.length).toBe(0);
  }, 90_000);

  it('measures again when an event is dragged by the mouse', async () => {
    const descent = page.locator('td[data-measure=descent_s]');
    const before = Number.parseFloat(await descent.innerText());
    await drag(/^start/, [-20, 0], false);
    await expect.poll(async () => (await kept()).events.length).toBe(1);
    await expect
      .poll(async () => Number.parseFloat(await descent.innerText()), { timeout: 60_000 })
      .toBeGreaterThan(before + 0.05);
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept()).events.length).toBe(0);
  }, 90_000);

  it('makes a metre larger by a rim drawn larger, by the keys and taken back', async () => {
    await step('Set up').click();
    const figures = page.locator('[data-metres-per-px]').first();
    await figures.waitFor({ timeout: 120_000 });
    const metresPerPx = async () => Number(await figures.getAttribute('data-metres-per-px'));
    const before = await metresPerPx();
    await page.getByRole('button', { name: 'Draw the rim' }).first().click();
    const right = page.getByRole('slider', { name: 'Rim, right' });
    await right.focus();
    await page.keyboard.press('Shift+ArrowRight');
    await page.getByRole('slider', { name: 'Rim, bottom' }).focus();
    await page.keyboard.press('Shift+ArrowDown');
    await expect.poll(async () => (await kept()).options.rim?.aPx ?? 0).toBeGreaterThan(40);
    const rim = (await kept()).options.rim!;
    // Both axes grew by half of five pixels each way.
    const grown = Math.sqrt(rim.aPx * rim.bPx) / (Math.sqrt(rim.aPx * rim.bPx) - 2.5);
    await expect.poll(metresPerPx, { timeout: 60_000 }).toBeLessThan(before * 0.985);
    expect(before / (await metresPerPx())).toBeCloseTo(grown, 1);
    await looks('set-up');
    await right.focus();
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    await expect.poll(metresPerPx, { timeout: 60_000 }).toBe(before);
  }, 180_000);

  it('takes a rim dragged by its edge with the mouse, magnified on the way', async () => {
    await drag('Rim, right', [15, 0]);
    const rim = (await kept()).options.rim!;
    const unit = await page.evaluate<number>(
      "(() => { const svg = document.querySelector('.clip-figure > svg'); return svg.viewBox.baseVal.width / svg.getBoundingClientRect().width; })()",
    );
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept()).options.rim).toBeNull();
    // The far edge stays where it is, so that the half axis grows by half the way.
    await drag('Rim, right', [30, 0]);
    const larger = (await kept()).options.rim!;
    expect(larger.aPx - rim.aPx).toBeCloseTo((15 * unit) / 2, 0);
    await page.keyboard.press('Control+z');
  }, 90_000);

  it('takes a line on an upright whose ends are dragged, and turns by what it leans', async () => {
    await page.getByRole('button', { name: 'Change up' }).first().click();
    const up = page.getByRole('group', { name: 'Up', exact: true }).first();
    const before = await up.locator('p').first().innerText();
    await drag('Upright, top', [40, 0]);
    const { plumb } = (await kept()).options;
    expect(plumb).not.toBeNull();
    const leans = (Math.atan2(plumb![0] - plumb![2], plumb![3] - plumb![1]) * 180) / Math.PI;
    expect(Math.abs(leans)).toBeGreaterThan(2);
    await expect
      .poll(async () => Number(/leaning ([\d.]+)°/.exec(await up.locator('p').first().innerText())?.[1]), {
        timeout: 60_000,
      })
      .toBeCloseTo(Math.abs(leans), 0);
    expect(await up.locator('p').first().innerText()).toMatch(/^By your line: leaning .* to the right/);
    await page.keyboard.press('Control+z');
    await expect.poll(() => up.locator('p').first().innerText(), { timeout: 60_000 }).toBe(before);
  }, 120_000);
});
