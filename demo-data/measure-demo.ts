import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { demoLifterId } from '../electron/desk/demo-lifter.ts';
import type { Weeks } from '../shared-lib/contract/weeks.ts';
import { startApp } from '../tests/e2e/start-app.ts';
import { demoWeeks } from './demo-weeks.ts';

/** Measures each week's clip of the demo by the built program, and writes `measured.json` beside the clips. */
const file = join(import.meta.dirname, 'measured.json');
// What was written before must not be taken for what is measured now.
await writeFile(file, '{}\n');
const root = await mkdtemp(join(tmpdir(), 'lockstep-demo-'));
const app = await startApp(root);
try {
  const { origin } = new URL(app.address);
  const cookie = (await fetch(app.address)).headers.get('set-cookie')!.split(';')[0];
  const answer = await fetch(`${origin}/call`, {
    method: 'POST',
    headers: { cookie, 'content-type': 'application/json' },
    body: JSON.stringify({ command: 'overWeeks', job: 'demo', input: { id: demoLifterId, lift: 'bench' } }),
  });
  const { output } = (await answer.json()) as { output: Weeks };
  const measured = Object.fromEntries(
    demoWeeks.map(({ file: clip, day }) => [
      clip,
      output.weeks.find(({ review }) => review === `demo-week-${day / 7}`)!.measures,
    ]),
  );
  const short = (_: string, value: unknown): unknown =>
    typeof value === 'number' ? Number(value.toPrecision(6)) : value;
  await writeFile(file, `${JSON.stringify(measured, short, 2)}\n`);
} finally {
  await app.stop();
  await rm(root, { recursive: true, force: true });
}
