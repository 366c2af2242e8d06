import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Crop } from '../../../shared-lib/body/pose-view.ts';
import type { Landmarks } from '../../../shared-lib/body/propose-joints.ts';
import { openApp } from '../../e2e/open-app.ts';

export interface BrowserModel {
  look(png: Buffer, crops: readonly Crop[]): Promise<Landmarks[]>;
  close(): Promise<void>;
}

type Answer = { kind: 'seen'; all: Landmarks[] } | { kind: 'failed'; why: string };

/** What the page does with one picture: it asks the worker as the program's screens do. */
const asking = (png: Buffer, crops: readonly Crop[]): string => `(async () => {
  const bytes = Uint8Array.from(atob('${png.toString('base64')}'), (c) => c.charCodeAt(0));
  const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
  return new Promise((resolve) => {
    worker.onmessage = ({ data }) => resolve(data);
    worker.onerror = ({ message }) => resolve({ kind: 'failed', why: message });
    worker.postMessage({ picture, crops: ${JSON.stringify(crops)} }, [picture]);
  });
})()`;

/** The program's own pose worker, as it was built, in a browser that opened the program. */
export async function browserModel(): Promise<BrowserModel> {
  const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-pose-'));
  const app = await openApp(folder);
  // The address with the token leads on to the program.
  await app.page.getByRole('button').first().waitFor();
  await app.page.evaluate(`globalThis.worker = new Worker('/pose/worker.js'); undefined`);
  return {
    async look(png, crops) {
      const answer = await app.page.evaluate<Answer>(asking(png, crops));
      if (answer.kind === 'failed') throw new Error(answer.why);
      return answer.all;
    },
    async close() {
      await app.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}
