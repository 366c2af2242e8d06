import { mkdir } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { openApp } from '../e2e/open-app.ts';
import { screens } from './screens.ts';

/**
 * Pictures of every screen, light and dark, at three sizes, to be looked at: `npm run pictures`.
 *
 * --only NAME  screens whose name holds NAME; --reviews DIR  a folder of reviews that is kept, so that nothing is followed
 * twice; --sizes 1024,1440,2560
 */
const { values } = parseArgs({
  options: { only: { type: 'string' }, reviews: { type: 'string' }, sizes: { type: 'string' } },
});
const folder = fileURLToPath(new URL('../../test-output/pictures/', import.meta.url));
const heights: Record<number, number> = { 1024: 700, 1440: 900, 2560: 1440 };
const widths = (values.sizes ?? '1024,1440,2560').split(',').map(Number);
const reviews = values.reviews ?? (await mkdtemp(path.join(tmpdir(), 'lockstep-pictures-')));

await mkdir(folder, { recursive: true });
const open = await openApp(reviews);
const { page } = open;
try {
  for (const { name, show } of screens) {
    if (values.only && !name.includes(values.only)) continue;
    try {
      await show(page);
    } catch (error) {
      // One screen that does not come keeps no other from being looked at.
      console.log(
        `${name} did not come: ${error instanceof Error ? error.message.split('\n')[0] : String(error)}`,
      );
      process.exitCode = 1;
      continue;
    }
    for (const width of widths) {
      await page.setViewportSize({ width, height: heights[width] ?? Math.round(width * 0.625) });
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        await page.waitForTimeout(700);
        await page.screenshot({ path: path.join(folder, `${name}-${width}-${colorScheme}.png`) });
      }
    }
    await page.emulateMedia({ colorScheme: 'light' });
    console.log(name);
  }
} finally {
  for (const complaint of open.complaints) console.log(`complaint: ${complaint}`);
  await open.close();
  if (!values.reviews) await rm(reviews, { recursive: true, force: true });
}
