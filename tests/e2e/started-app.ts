import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { openApp, type OpenApp } from './open-app.ts';

/** The program, open in a browser, with its reviews in a folder of its own. */
export interface StartedApp {
  folder: string;
  open: OpenApp;
  page: Page;
}

/** Opens the program before the tests round the call, and closes it and removes its folder after them. */
export function startedApp(name: string): StartedApp {
  const started = {} as StartedApp;
  beforeAll(async () => {
    started.folder = await mkdtemp(path.join(tmpdir(), `lockstep-${name}-`));
    started.open = await openApp(started.folder);
    started.page = started.open.page;
  });
  afterAll(async () => {
    // A test may have closed or killed it.
    await started.open.close().catch(() => undefined);
    await rm(started.folder, { recursive: true, force: true });
  });
  return started;
}
