import { accessSync, constants } from 'node:fs';
import path from 'node:path';
import { chromium, type Browser } from 'playwright-core';

/** A Chromium on the search path; null where there is none. */
export const browserPath: string | null =
  (process.env.PATH ?? '')
    .split(path.delimiter)
    .flatMap((folder) =>
      ['chromium', 'chromium-browser', 'google-chrome'].map((name) => path.join(folder, name)),
    )
    .find((file) => {
      try {
        accessSync(file, constants.X_OK);
        return true;
      } catch {
        return false;
      }
    }) ?? null;

export function launchBrowser(): Promise<Browser> {
  if (browserPath === null) throw new Error('There is no Chromium on the search path.');
  return chromium.launch({
    executablePath: browserPath,
    args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}
