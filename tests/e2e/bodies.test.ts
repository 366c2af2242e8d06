import { mkdir, readdir } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible } from './open-app.ts';
import { startedApp } from './started-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/bodies/', import.meta.url));

describe.skipIf(browserPath === null)('the body and the rules beside the pair', () => {
  const app = startedApp('bodies');
  beforeAll(() => mkdir(pictures, { recursive: true }));

  const said = () => app.page.locator('.body-said').innerText();
  const picture = () => app.page.locator('.body-marking .clip-figure > svg');
  const proposed = () => app.page.locator('.proposals li');

  /** What was proposed for pictures and is kept, by file name. */
  const keptProposals = async () =>
    (await readdir(app.folder, { recursive: true })).filter((name) => /joints-[0-9a-f]+$/.test(name));

  it('looks for joints as soon as the pair is compared, before anybody opens the bodies, and keeps them', async () => {
    await app.page.getByText('Demo: practice rep and heavy single').click();
    await app.page.getByRole('button', { name: 'Line up', exact: true }).first().click();
    await app.page.locator('.line-up').waitFor({ timeout: 300_000 });
    await expect
      .poll(async () => (await keptProposals()).length, { timeout: 240_000 })
      .toBeGreaterThanOrEqual(1);
    expect(await app.page.locator('.body-dialog').count()).toBe(0);
    expect(app.open.complaints).toEqual([]);
  }, 600_000);

  it('opens with what referees look at, who decides, and why the load explains nothing yet', async () => {
    await app.page.getByRole('button', { name: 'Body and rules' }).click();
    await picture().waitFor({ timeout: 300_000 });
    const words = await said();
    expect(words).toMatch(/current rulebook is the authority/);
    expect(words).toMatch(/This clip: The bar stayed within the still speed at the chest for \d\.\d\d s/);
    expect(words).toMatch(/nobody said so|within 5 %|both loads/);
    expect(words).not.toMatch(/good lift|no lift/i);
  }, 600_000);

  it('measures where the bar is over the shoulder from one mark in each rep, in words', async () => {
    for (const who of ['Today', 'Reference']) {
      await app.page.getByRole('radio', { name: who, exact: true }).check({ force: true });
      await picture().waitFor();
      const box = (await picture().boundingBox())!;
      await picture().click({ position: { x: box.width * 0.45, y: box.height * 0.6 } });
    }
    await expect
      .poll(said, { timeout: 60_000 })
      .toMatch(/Bar against the shoulder joint at the start: .*\d ± \d\.\d cm/);
    await app.page.screenshot({ path: path.join(pictures, 'bodies.png') });
    await expectAccessible(app.page);
  }, 120_000);

  it('makes a headline of where the bar starts, first among the changes', async () => {
    await app.page.getByRole('button', { name: 'Close', exact: true }).click();
    const headline = app.page.getByText(
      /started .* further toward the (feet|head)|place of the bar over the shoulder/i,
    );
    await headline.first().waitFor();
    await app.page.screenshot({ path: path.join(pictures, 'headline.png') });
    await expectAccessible(app.page);
    await app.page.getByRole('button', { name: 'Body and rules' }).click();
    await picture().waitFor();
  }, 120_000);

  it('moves a mark by keys, half a pixel at a time, and takes it away', async () => {
    const handle = () => app.page.getByRole('slider', { name: 'Mark of the shoulder' });
    const at = async () => Number(await handle().locator('.knob').getAttribute('cx'));
    const before = await at();
    await handle().focus();
    await app.page.keyboard.press('ArrowRight');
    await app.page.keyboard.press('Shift+ArrowRight');
    await expect.poll(at).toBeCloseTo(before + 5.5, 6);
    await app.page.locator('.body-marking .loupe').waitFor();
    await app.page.keyboard.press('Delete');
    await expect.poll(() => app.page.locator('.chosen.unset').count()).toBe(1);
  });

  it('proposes joints near where they are, from this machine alone, and uses none before a person says yes', async () => {
    const asked: string[] = [];
    app.page.on('request', (request) => asked.push(request.url()));
    await app.page.getByRole('radio', { name: 'Today', exact: true }).check({ force: true });
    await app.page.getByRole('radio', { name: 'at the start' }).check({ force: true });
    await expect.poll(() => proposed().count(), { timeout: 120_000 }).toBeGreaterThanOrEqual(4);
    await app.page.getByText('Looking for joints to propose').waitFor({ state: 'hidden', timeout: 240_000 });
    await app.page.screenshot({ path: path.join(pictures, 'proposals.png') });
    await expectAccessible(app.page);
    const own = new URL(app.page.url()).origin;
    const elsewhere = asked.filter((url) => !url.startsWith(own) && !url.startsWith(`blob:${own}`));
    expect(elsewhere).toEqual([]);
    expect(await said()).not.toMatch(/Elbow angle at the start/);

    await app.page.getByRole('button', { name: /^Take all/ }).click();
    await expect.poll(said, { timeout: 60_000 }).toMatch(/Elbow angle at the start: \d+ ± \d+°/);
    expect(await proposed().count()).toBe(0);
    expect(await app.page.locator('.mark').count()).toBeGreaterThanOrEqual(4);
  }, 400_000);

  it('lets the worker alone compile WebAssembly', async () => {
    const emptyModule = 'new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0])';
    const compiles = await app.page.evaluate(
      `WebAssembly.compile(${emptyModule}).then(() => true, () => false)`,
    );
    expect(compiles).toBe(false);
    const policies = await app.page.evaluate(() =>
      Promise.all(
        ['/', '/pose/pose.js', '/pose/worker.js'].map(async (address) =>
          (await fetch(address)).headers.get('content-security-policy')!.includes('wasm-unsafe-eval'),
        ),
      ),
    );
    expect(policies).toEqual([false, false, true]);
  });
});
