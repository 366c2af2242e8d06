import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { z } from 'zod';
import { liftSchema } from '../shared-lib/contract/lift.ts';
import { exitStatus } from '../shared-lib/contract/errors.ts';
import { runCommand } from './command-line/run.ts';

const demoSchema = z.object({
  lift: liftSchema,
  reference: z.object({ clip: z.string(), loadKg: z.number() }),
  today: z.object({ clip: z.string(), loadKg: z.number() }),
});

/** Compares the two clips of the demo and says where the page is. */
const root = fileURLToPath(new URL('..', import.meta.url));
const demoFolder = path.join(root, 'demo-data');
const out = path.join(root, 'demo-output');
const demo = demoSchema.parse(JSON.parse(await readFile(path.join(demoFolder, 'demo.json'), 'utf8')));

process.stdout.write('Comparing the two clips of the demo; this takes half a minute.\n');
process.exitCode = await runCommand([
  'pair',
  ...['--lift', demo.lift, '--out', out],
  ...[
    '--reference',
    path.join(demoFolder, demo.reference.clip),
    '--reference-kg',
    String(demo.reference.loadKg),
  ],
  ...['--today', path.join(demoFolder, demo.today.clip), '--today-kg', String(demo.today.loadKg)],
]);
if (process.exitCode === exitStatus.done) {
  process.stdout.write(`The page is at ${pathToFileURL(path.join(out, 'page.html')).href}\n`);
}
