import AxeBuilder from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { launchBrowser } from './browser.ts';
import { openPages } from './open-pages.ts';
import { startApp, type App } from './start-app.ts';

/** The program as it was built, open in a browser window of 1440 x 900. */
export interface OpenApp {
  app: App;
  page: Page;
  /** What the page has complained of on its console, and what it did not catch. */
  complaints: readonly string[];
  /** How often each server was asked for something by the page, by its origin. */
  asked: ReadonlyMap<string, number>;
  close(): Promise<void>;
}

/**
 * Starts the program with its reviews in `folder` and opens it.
 *
 * @param beforeOpening once it has started, before a page looks at anything
 */
export async function openApp(
  folder: string,
  beforeOpening: () => Promise<void> = () => Promise.resolve(),
): Promise<OpenApp> {
  const app = await startApp(folder);
  await beforeOpening();
  const browser = await launchBrowser();
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  openPages.add(page);
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`${message.text()} ${message.location().url}`);
  });
  const asked = new Map<string, number>();
  page.on('request', (request) => {
    const { protocol, origin } = new URL(request.url());
    // What a page holds in itself asks nobody.
    if (protocol !== 'data:' && protocol !== 'blob:') asked.set(origin, (asked.get(origin) ?? 0) + 1);
  });
  await page.goto(app.address);
  const close = async (): Promise<void> => {
    openPages.delete(page);
    await browser.close();
    await app.stop();
  };
  return { app, page, complaints, asked, close };
}

/** Holds that what is shown meets the rules for accessible pages that a program can check. */
export async function expectAccessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0].html}`)).toEqual([]);
}
