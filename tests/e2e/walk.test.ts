import { mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { openApp, type OpenApp } from './open-app.ts';
import { walkReview } from './review-walk.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

describe.skipIf(browserPath === null)('a whole review of two fresh clips', () => {
  let folder: string;
  let open: OpenApp;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-walk-'));
    open = await openApp(folder);
  });
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  it('takes at most twelve clicks to the changes, and from dropping leads to film and page', async () => {
    const walked = await walkReview(open.page, [
      { file: demo('bench-practice.mp4'), kg: '90' },
      { file: demo('bench-heavy.mp4'), kg: '107.5' },
    ]);
    process.stdout.write(`${JSON.stringify(walked)}\n`);
    expect(walked.toChanges.clicks).toBeLessThanOrEqual(12);
    expect((await stat(path.join(walked.folder, 'side-by-side.mp4'))).size).toBeGreaterThan(100_000);
    const page = await readFile(path.join(walked.folder, 'page.html'), 'utf8');
    expect(page).toContain('“Why does it stall half way?”');
    expect(page).toContain('Bring it down in a second and a half.');
    expect(page).toContain('A strong single; one thing to work on.');
    // Words typed in one go are one step to take back.
    await open.page.getByRole('button', { name: /^Take back: Write over/ }).click();
    const first = open.page
      .getByRole('region', { name: 'What is written to the lifter' })
      .getByRole('textbox');
    expect(await first.first().inputValue()).toBe('');
  }, 600_000);
});
