import { mkdir, readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Review } from '../../shared-lib/contract/review.ts';
import { browserPath } from './browser.ts';
import { expectAccessible } from './open-app.ts';
import { startedApp } from './started-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/lifters/', import.meta.url));

describe.skipIf(browserPath === null)('the coach’s review over weeks, in a browser', () => {
  const app = startedApp('lifters');
  beforeAll(() => mkdir(pictures, { recursive: true }));

  const looks = async (name: string): Promise<void> => {
    for (const [width, height] of [
      [1024, 700],
      [1440, 900],
    ]) {
      await app.page.setViewportSize({ width, height });
      await app.page.screenshot({ path: path.join(pictures, `${name}-${width}.png`) });
    }
    await expectAccessible(app.page);
  };
  const kept = async (id: string): Promise<Review> => {
    await app.page.getByText('Kept', { exact: true }).waitFor();
    return JSON.parse(await readFile(path.join(app.folder, 'reviews', id, 'review.json'), 'utf8')) as Review;
  };
  const tab = (name: string) => app.page.getByRole('tab', { name, exact: true });

  it('shows the demo’s lifter: one cue took, one did not, with the figures', async () => {
    await app.page.getByRole('button', { name: 'Lifters' }).click();
    await app.page.getByLabel('Find by name').fill('teale');
    await looks('list');
    await app.page.getByText('Rowan Teale').click();
    const stories = app.page.locator('.stories > li');
    // Measured beforehand: nobody waits for it.
    await stories.first().waitFor({ timeout: 30_000 });
    const said = (await stories.allInnerTexts()).map((text) => text.replaceAll('\u00a0', ' '));
    expect(said).toHaveLength(2);
    expect(said[0]).toMatch(/^took\s+Touch a hand’s breadth higher/);
    expect(said[0]).toMatch(
      /Then (9\.\d|1\d\.\d) cm ± \d\.\d toward the feet; on .* [56]\.\d cm ± \d\.\d toward the feet/,
    );
    expect(said[1]).toMatch(/^not yet\s+Come down in a second and a half/);
    await looks('lifter');
  }, 90_000);

  it('opens the newest review on what became of the cue that is still open', async () => {
    await app.page.getByRole('button', { name: /Demo: ten weeks on/ }).click();
    await app.page.locator('.line-up').waitFor({ timeout: 120_000 });
    await tab('Cues').click();
    const still = app.page.locator('.earlier > li');
    await still.first().waitFor({ timeout: 120_000 });
    expect(await still.count()).toBe(1);
    expect(await still.innerText()).toMatch(/not yet[\s\S]*then, .* today/);
    await looks('cues-open');
  }, 180_000);

  it('notes what is seen with one key, and gives a cue tied to it', async () => {
    await app.page.locator('.stage').click();
    await app.page.keyboard.press('2');
    await tab('Seen').click();
    await app.page.locator('.noted').getByText('Feet move').waitFor();
    await looks('seen');
    await tab('Cues').click();
    await app.page
      .getByLabel('Your words to the lifter')
      .fill('Push your feet into the floor until the rack');
    await app.page.getByLabel('What shall become of what').selectOption('Not seen again: Feet move');
    await app.page.getByRole('button', { name: /Give this cue/ }).click();
    await app.page.getByLabel('Your words to the lifter').fill('Down quicker');
    await app.page.getByLabel('What shall become of what').selectOption('descent: shorter');
    await app.page.getByRole('button', { name: /Give this cue/ }).click();
    await app.page.getByRole('button', { name: 'Make it the main one' }).click();
    const { coaching } = await kept('demo-week-10');
    expect(coaching.observations.map(({ text }) => text)).toEqual(['Feet move']);
    expect(coaching.cues.map(({ text, aim }) => [text, aim.kind])).toEqual([
      ['Down quicker', 'measure'],
      ['Push your feet into the floor until the rack', 'observation'],
    ]);
    await looks('cues');
  });

  it('draws a wished path from the reference, bends it by keys, and measures today against it', async () => {
    await tab('Wished path').click();
    await app.page.getByRole('button', { name: 'Begin from the reference' }).click();
    const handle = app.page.locator('.wished-handle').nth(2);
    await handle.focus();
    for (let i = 0; i < 5; i++) await app.page.keyboard.press('Shift+ArrowLeft');
    await app.page.getByText(/On the way down the bar was up to [45]\.\d.cm/).waitFor({ timeout: 60_000 });
    const { coaching } = await kept('demo-week-10');
    expect(coaching.wishedPath?.down).toHaveLength(5);
    await looks('wished');
  }, 90_000);

  it('marks reps as usual and says what that allows', async () => {
    await tab('Usual').click();
    await app.page.getByText(/No band yet/).waitFor({ timeout: 60_000 });
    await app.page.getByRole('button', { name: 'Mark rep 1 of the reference clip as usual' }).click();
    await app.page.getByText('1 of 1 marked reps compare with today’s.').waitFor({ timeout: 60_000 });
    const lifter = JSON.parse(
      await readFile(path.join(app.folder, 'lifters', 'demo-lifter', 'lifter.json'), 'utf8'),
    ) as { usualReps: { loadKg: number }[] };
    expect(lifter.usualReps.map(({ loadKg }) => loadKg)).toEqual([102.5]);
    await app.page.locator('.line-up').waitFor({ timeout: 60_000 });
    await looks('usual');
  }, 120_000);

  it('says why two reps do not compare, from what is asked once of each', async () => {
    await app.page.getByRole('button', { name: 'Bring in', exact: true }).click();
    await app.page.getByText('About each rep').click();
    const today = app.page.getByRole('region', { name: 'About today’s rep' });
    await today.getByLabel('At the bottom').selectOption('touch-and-go');
    await app.page.getByText('It was paused and today’s is touch-and-go.').waitFor();
    await looks('circumstances');
    await today.getByLabel('At the bottom').selectOption('paused');
    await app.page.getByText('does not quite compare').waitFor({ state: 'detached' });
    expect((await kept('demo-week-10')).today!.circumstances.bottom).toBe('paused');
  });

  it('shows all that goes back, takes the coach’s words, and leaves out what is not wanted', async () => {
    await app.page.getByRole('button', { name: 'Hand back', exact: true }).click();
    const letter = app.page.getByRole('region', { name: 'What is written to the lifter' });
    await letter.getByRole('heading', { name: 'What you asked' }).waitFor({ timeout: 90_000 });
    const written = (name: RegExp) => letter.getByRole('textbox', { name });
    await written(/Held against the reference rep/).fill('Yes: you touch where we wanted it.');
    await letter.getByRole('button', { name: /^Leave out: As in the reference rep/ }).click();
    await letter.getByRole('button', { name: /^Put it back/ }).waitFor();
    await written(/^Written to the lifter: From your coach/).fill('Now add 5 kg, it was a good lift.');
    await letter.getByText('This reads like a ruling').waitFor();
    await written(/^Written to the lifter: From your coach/).fill('Well done, Rowan.');
    await looks('hand-back');
    const { handBack } = (await kept('demo-week-10')).coaching;
    expect(Object.values(handBack.said)).toEqual(
      expect.arrayContaining(['Yes: you touch where we wanted it.', '', 'Well done, Rowan.']),
    );
    await letter.getByRole('button', { name: /^Put it back/ }).click();
    await app.page.getByRole('button', { name: 'Take back: Put a text back' }).click();
    await letter.getByRole('button', { name: /^Put it back/ }).waitFor();
  }, 120_000);

  it('asks for what is missing in a message, with one click', async () => {
    await app.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await app.page.getByRole('button', { name: 'Copy the message' }).click({ timeout: 60_000 });
    await app.page.getByText('Copied: paste it').waitFor();
    const copied = await app.page.evaluate<string>('navigator.clipboard.readText()');
    expect(copied).toMatch(/^Hello Rowan Teale,/);
    expect(copied).toContain('– how many more reps would have gone');
  }, 90_000);

  it('makes an upright film that plays, and a page of one or two sheets with the words as they were left', async () => {
    await app.page.getByRole('radio', { name: /^Upright/ }).check({ force: true });
    await app.page.getByRole('button', { name: /^Make the page and the film/ }).click();
    const film = app.page.locator('video');
    await film.waitFor({ timeout: 180_000 });
    const shown = await app.page.evaluate<{ width: number; height: number; lengthS: number }>(`(async () => {
      const video = document.querySelector('video');
      await video.play();
      await new Promise((resolve) => video.addEventListener('timeupdate', resolve, { once: true }));
      video.pause();
      return { width: video.videoWidth, height: video.videoHeight, lengthS: video.duration };
    })()`);
    expect(shown).toMatchObject({ width: 1080, height: 1920 });
    const made = path.join(app.folder, 'reviews', 'demo-week-10', 'hand-back');
    const { size } = await stat(path.join(made, 'side-by-side.mp4'));
    expect(size / 1e6 / (shown.lengthS / 60)).toBeLessThan(20);
    await looks('hand-back-made');

    const text = await readFile(path.join(made, 'page.html'), 'utf8');
    const letter = text.slice(text.indexOf('<div class="letter">'), text.indexOf('<details'));
    expect(letter).toContain('Yes: you touch where we wanted it.');
    expect(letter).toContain('Well done, Rowan.');
    expect(letter).not.toMatch(/Held against the reference|As in the reference rep, as far/);
    const sheet = await app.page.context().newPage();
    await sheet.goto(`file://${path.join(made, 'page.html')}`);
    const pdf = (await sheet.pdf({ preferCSSPageSize: true })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)!.length).toBeLessThanOrEqual(2);
    await sheet.close();
  }, 240_000);

  it('packs the lifter into a zip that can be fetched', async () => {
    await app.page.getByRole('button', { name: '‹ Reviews' }).click();
    await app.page.getByRole('button', { name: 'Lifters' }).click();
    await app.page.getByText('Rowan Teale').click();
    await app.page.getByRole('button', { name: 'Pack with the clips' }).click();
    const link = app.page.getByRole('link', { name: 'demo-lifter.zip' });
    await link.waitFor({ timeout: 60_000 });
    const [download] = await Promise.all([app.page.waitForEvent('download'), link.click()]);
    const bytes = await readFile(await download.path());
    expect(bytes.subarray(0, 2).toString()).toBe('PK');
    expect(bytes.length).toBeGreaterThan(500_000);
  }, 120_000);

  it('never complained in the browser', () => {
    expect(app.open.complaints).toEqual([]);
  });
});
