import type { Page } from 'playwright-core';
import { afterEach } from 'vitest';

/** Pages that tests look at. */
export const openPages = new Set<Page>();

// A test that waits for what never comes does not say what came instead.
afterEach(async ({ task }) => {
  if (task.result?.state !== 'fail') return;
  for (const page of openPages) {
    if (page.isClosed()) continue;
    const shown = await page.locator('body').innerText({ timeout: 10_000 }).catch(String);
    console.error(`“${task.name}” failed while ${page.url().split('?')[0]} showed:\n${shown}`);
  }
});
