import { afterEach } from 'vitest';
import { openPages } from './open-pages.ts';

// A test that waits for what never comes does not say what came instead.
afterEach(async ({ task }) => {
  if (task.result?.state !== 'fail') return;
  for (const page of openPages) {
    if (page.isClosed()) continue;
    const shown = await page.locator('body').innerText({ timeout: 10_000 }).catch(String);
    const error = task.result.errors?.at(-1);
    if (error) error.message += `\n${page.url().split('?')[0]} showed:\n${shown}\n`;
  }
});
