import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { _electron as electron } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { electronProgram } from '../../electron/window/find-electron.ts';

const program = electronProgram();

describe.skipIf(program === null)(
  `the window${program === null ? ' (not tried: Electron’s binary is not here)' : ''}`,
  () => {
    it('opens on the demo review, without Node in its page', async () => {
      const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-window-'));
      const main = fileURLToPath(new URL('../../dist/main.js', import.meta.url));
      const app = await electron.launch({
        executablePath: program!,
        args: [main, '--reviews', folder],
      });
      try {
        const page = await app.firstWindow();
        await page.getByText('Demo: practice rep and heavy single').waitFor();
        expect(page.url()).toBe('app://lockstep/');
        expect(await page.evaluate('typeof require + typeof process')).toBe('undefinedundefined');
        expect(await page.evaluate('Object.keys(window.lockstep).sort().join()')).toBe(
          'call,listen,onChosen,pathOf,place,showMenu,stop',
        );
      } finally {
        await app.close();
        await rm(folder, { recursive: true, force: true });
      }
    }, 60_000);
  },
);
