import { mkdir, readdir, readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible } from './open-app.ts';
import { peersOf } from './sockets.ts';
import { startedApp } from './started-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));
const pictures = fileURLToPath(new URL('../../test-output/app/', import.meta.url));

describe.skipIf(browserPath === null)('the whole job in a browser', () => {
  const app = startedApp('app');
  beforeAll(() => mkdir(pictures, { recursive: true }));

  const step = (name: string) => app.page.getByRole('button', { name, exact: true }).first();
  const looks = async (name: string): Promise<void> => {
    for (const colorScheme of ['light', 'dark'] as const) {
      await app.page.emulateMedia({ colorScheme });
      await app.page.screenshot({ path: path.join(pictures, `${name}-${colorScheme}.png`) });
      await expectAccessible(app.page);
    }
    await app.page.emulateMedia({ colorScheme: 'light' });
  };

  it('prints one line with its address, and opens with the demo review', async () => {
    expect(app.open.app.printed).toMatch(/^Lockstep is at http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]{32}\n$/);
    await app.page.getByText('Demo: practice rep and heavy single').waitFor();
    expect(app.page.url()).not.toContain('token');
    await looks('reviews');
  });

  it('takes two clips in and says what they are', async () => {
    await app.page.getByRole('button', { name: 'New review' }).click();
    await app.page.getByText('Drop a clip here').first().waitFor();
    await looks('bring-in-empty');
    await app.page.getByText('Bench press').click();
    const inputs = app.page.locator('input[type=file]');
    await inputs.nth(0).setInputFiles(demo('bench-practice.mp4'));
    await app.page.getByText('1280 × 720, 30 frames a second').waitFor();
    await inputs.nth(1).setInputFiles(demo('bench-heavy.mp4'));
    await app.page.getByText('1920 × 1080, 60 frames a second').waitFor();
    await app.page.getByLabel('Load on the bar, kg').first().fill('90');
    await app.page.getByLabel('Load on the bar, kg').last().fill('107,5');
    await looks('bring-in');
  });

  it('follows both and says the three things that differ', async () => {
    await app.page.getByRole('button', { name: 'Compare the two' }).click();
    await app.page.locator('.line-up').waitFor({ timeout: 240_000 });
    await expect.poll(() => app.page.locator('canvas[data-frame]').count(), { timeout: 60_000 }).toBe(2);
    const differing = await app.page.locator('.change.differs').allInnerTexts();
    expect(differing).toHaveLength(3);
    const said = differing.join(' ').replaceAll('\u00a0', ' ');
    expect(said).toMatch(/descent took 0\.(8|9)\d s .* longer/);
    expect(said).toMatch(/toward the feet/);
    await looks('line-up');
  }, 300_000);

  it('takes both pictures to the moment of a change, and says so in the same frame', async () => {
    await app.page.locator('.change', { hasText: 'toward the feet' }).first().click();
    const frames = () =>
      app.page.evaluate<number[]>(
        "[...document.querySelectorAll('canvas')].map((c) => Number(c.dataset.frame))",
      );
    const labels = async () => {
      const texts = await app.page.evaluate<string[]>(
        "[...document.querySelectorAll('canvas')].map((c) => c.getAttribute('aria-label'))",
      );
      return texts.map((label) => Number(/frame (\d+)/.exec(label)?.[1]));
    };
    const wanted = await labels();
    await expect.poll(frames, { timeout: 15_000 }).toEqual(wanted);
    // The practice rep touches more than two seconds in, at 30 frames a second.
    expect(wanted[0]).toBeGreaterThan(60);
    await app.page.keyboard.press('ArrowRight');
    await expect.poll(frames, { timeout: 15_000 }).toEqual(await labels());
    expect((await labels())[0]).toBe(wanted[0] + 1);
    await looks('line-up-touch');
  });

  it('comes back to the same place when it is opened again', async () => {
    const before = await app.page.locator('canvas').first().getAttribute('aria-label');
    await app.page.getByText('Kept', { exact: true }).waitFor();
    await app.page.reload();
    await app.page.locator('.line-up').waitFor({ timeout: 60_000 });
    await expect
      .poll(() => app.page.locator('canvas').first().getAttribute('aria-label'), { timeout: 10_000 })
      .toBe(before);
  }, 90_000);

  it('takes back what was done, and does it again', async () => {
    await step('Bring in').click();
    const load = app.page.getByLabel('Load on the bar, kg').first();
    await load.fill('95');
    await app.page.locator('h2').first().click();
    await app.page.keyboard.press('Control+z');
    await expect.poll(() => load.inputValue()).toBe('90');
    await app.page.keyboard.press('Control+Shift+z');
    await expect.poll(() => load.inputValue()).toBe('95');
    await app.page.keyboard.press('Control+z');
  });

  it('shows what was found for a yes, and how well it was followed', async () => {
    await step('Set up').click();
    await expect.poll(() => app.page.locator('.clip-figure .middle').count(), { timeout: 30_000 }).toBe(2);
    await looks('set-up');
    await step('Follow').click();
    await expect
      .poll(() => app.page.getByText('In the whole clip 100 % seen').count(), { timeout: 30_000 })
      .toBe(1);
    await looks('follow');
  });

  it('leads to a chart’s events by the arrow keys, with their values, and saves the chart as a picture', async () => {
    await step('Line up').click();
    const points = app.page.getByRole('group', { name: 'Events on the bar paths' }).getByRole('button');
    await points.first().focus();
    for (let i = 0; i < 3; i++) await app.page.keyboard.press('ArrowRight');
    const said = await app.page.evaluate<string>("document.activeElement.getAttribute('aria-label')");
    expect(said).toMatch(/^Today, touch: 4\d\.\d cm below the start, \d+\.\d cm toward the feet$/);
    await app.page.keyboard.press('Enter');
    const shown = app.page.locator('canvas.today');
    await expect.poll(async () => Number(/at ([\d.]+) s/.exec((await shown.getAttribute('aria-label')) ?? '')?.[1])).toBeGreaterThan(3); // prettier-ignore
    for (const title of ['bar paths', 'phases', 'velocity']) {
      const [download] = await Promise.all([
        app.page.waitForEvent('download'),
        app.page.getByRole('button', { name: `Save as a picture: ${title}` }).click(),
      ]);
      const svg = await readFile(await download.path(), 'utf8');
      expect(svg).toMatch(/^<\?xml.*\n<svg[^>]* viewBox="0 0 \d+ \d+"/);
      expect(svg).toMatch(/(stroke|fill)="rgb\(0, 114, 178\)"/);
      expect(svg).not.toMatch(/class=|style=|tabindex|var\(--|href/);
      expect(svg.match(/<(path|rect) /g)!.length).toBeGreaterThanOrEqual(3);
    }
  }, 60_000);

  it('loses nothing where text is twice as large', async () => {
    await app.page.setViewportSize({ width: 1280, height: 1024 });
    await app.page.evaluate("document.documentElement.style.fontSize = '200%'");
    expect(await app.page.evaluate('getComputedStyle(document.body).fontSize')).toBe('32px');
    for (const name of ['Bring in', 'Set up', 'Follow', 'Line up', 'Hand back']) {
      await step(name).click();
      await app.page.waitForTimeout(500);
      await app.page.screenshot({ path: path.join(pictures, `large-text-${name}.png`) });
      const lost = await app.page.evaluate<string[]>(`(() => {
        const wide = document.documentElement.scrollWidth > innerWidth + 1 ? ['the page'] : [];
        const cut = [...document.querySelectorAll('button, a, label, h1, h2, h3, p')].filter((one) => {
          const style = getComputedStyle(one);
          const hides = style.overflowX !== 'visible' || style.overflowY !== 'visible';
          return hides && one.offsetParent !== null && style.position !== 'absolute' &&
            (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1);
        });
        return [...wide, ...cut.map((one) => one.innerText.slice(0, 40))];
      })()`);
      expect(lost, name).toEqual([]);
    }
    await app.page.reload();
    await app.page.setViewportSize({ width: 1440, height: 900 });
    await step('Line up').click();
    await app.page.locator('.line-up').waitFor({ timeout: 60_000 });
  }, 120_000);

  it('moves nothing by itself for those who ask for less motion', async () => {
    const moving = () =>
      app.page.evaluate<number>(
        "[...document.querySelectorAll('*')].filter((one) => { const s = getComputedStyle(one); return s.transitionDuration !== '0s' || s.animationName !== 'none'; }).length",
      );
    expect(await moving()).toBeGreaterThan(0);
    await app.page.emulateMedia({ reducedMotion: 'reduce' });
    expect(await moving()).toBe(0);
    await app.page.emulateMedia({ reducedMotion: 'no-preference' });
  });

  const make = () =>
    app.page.getByRole('button', { name: 'Make the page, the film, the still and the data' });

  it('lets nothing be made before it was shown, and does not take it back from under a finger', async () => {
    // Opened anew, the app has put nothing together yet.
    await setTimeout(1500);
    await app.page.reload();
    await app.page.locator('.line-up').waitFor({ timeout: 60_000 });
    // What begins once the review is kept begins late here, as it does where a machine has much else to do.
    await app.page.route('**/call', async (route) => {
      if (route.request().postData()?.includes('"keepReview"')) await setTimeout(1500);
      await route.continue();
    });
    await step('Hand back').click();
    await app.page.getByRole('heading', { name: 'Hand back' }).waitFor();
    const both = app.page.getByRole('button', { name: 'Make the page and the film' });
    expect(await both.isEnabled()).toBe(false);
    await expect.poll(() => both.isEnabled(), { timeout: 60_000 }).toBe(true);
    expect(await app.page.locator('.letter textarea').count()).toBeGreaterThan(0);
    for (let i = 0; i < 25; i++) {
      await setTimeout(100);
      expect(await both.isEnabled()).toBe(true);
    }
    await app.page.unroute('**/call');
  }, 120_000);

  it('leaves nothing half-written where making is stopped', async () => {
    await app.page.getByText('Still', { exact: true }).click();
    await app.page.getByText('Data', { exact: true }).click();
    await expect.poll(() => make().isEnabled(), { timeout: 60_000 }).toBe(true);
    await make().click();
    const progress = app.page.getByRole('progressbar', { name: 'Making what goes back' });
    await expect.poll(async () => Number(await progress.getAttribute('aria-valuenow')), { timeout: 120_000 }).toBeGreaterThan(41); // prettier-ignore
    await app.page.getByRole('button', { name: 'Stop' }).click();
    await expect.poll(() => make().isEnabled(), { timeout: 60_000 }).toBe(true);
    const [review] = (await readdir(path.join(app.folder, 'reviews'))).filter(
      (name) => !name.startsWith('demo'),
    );
    expect(await readdir(path.join(app.folder, 'reviews', review, 'hand-back')).catch(() => [])).toEqual([]);
  }, 180_000);

  it('makes the film and the page', async () => {
    await make().click();
    await app.page.getByRole('link', { name: 'page.html', exact: true }).waitFor({ timeout: 240_000 });
    await looks('hand-back');
    const made = (await app.page.locator('.made-in').innerText()).trim();
    expect((await stat(path.join(made, 'side-by-side.mp4'))).size).toBeGreaterThan(100_000);
    expect((await readFile(path.join(made, 'still.png'))).subarray(1, 4).toString()).toBe('PNG');
    const [download] = await Promise.all([
      app.page.waitForEvent('download'),
      app.page.getByRole('link', { name: 'Download changes.csv' }).click(),
    ]);
    expect(await readFile(await download.path(), 'utf8')).toMatch(/^name,/);
    expect(await readFile(path.join(made, 'page.html'), 'utf8')).toContain('toward the feet');
  }, 300_000);

  it('asked nobody but itself, from the first picture to the last', () => {
    const own = new URL(app.open.app.address).origin;
    expect([...app.open.asked.keys()]).toEqual([own]);
    // The page's line for events is open, so that there is something to see.
    expect([...new Set(peersOf(app.open.app.pid))]).toEqual(
      process.platform === 'linux' ? ['127.0.0.1'] : [],
    );
    process.stdout.write(`${app.open.asked.get(own)} requests of the page, all to ${own}\n`);
  });

  it('never complained in the browser', () => {
    expect(app.open.complaints).toEqual([]);
  });
});
