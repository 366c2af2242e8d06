import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { z } from 'zod';
import { liftSchema } from '../shared-lib/contract/lift.ts';
import { exitStatus } from '../shared-lib/contract/errors.ts';
import { runCommand } from './command-line/run.ts';

const demoSchema = z.object({
  schema: z.literal(1),
  lift: liftSchema,
  clips: z
    .array(z.object({ file: z.string(), role: z.enum(['reference', 'today']), load_kg: z.number() }))
    .length(2),
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
  ...demo.clips.flatMap(({ file, role, load_kg: kg }) => [
    ...[`--${role}`, path.join(demoFolder, file)],
    ...[`--${role}-kg`, String(kg)],
  ]),
]);
if (process.exitCode === exitStatus.done) {
  process.stdout.write(`The page is at ${pathToFileURL(path.join(out, 'page.html')).href}\n`);
}
