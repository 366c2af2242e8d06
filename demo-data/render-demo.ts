import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { demoPair } from './demo-pair.ts';
import { renderClip } from './render-clip.ts';

/** Makes the committed demo clips, their truth and `demo.json` again, in this folder. */
const folder = import.meta.dirname;

async function main(): Promise<void> {
  for (const { file, spec } of demoPair) {
    await renderClip(spec, join(folder, file), {
      onProgress: (share) => {
        if (process.stderr.isTTY) process.stderr.write(`\r${file} ${Math.round(100 * share)} %`);
      },
    });
    process.stderr.write(`\r${file} done\n`);
  }
  const clips = demoPair.map(({ file, role, title, spec }) => ({
    file,
    role,
    title,
    load_kg: spec.loadKg,
    facing: spec.facing,
    disc_mm: 450,
  }));
  const demo = {
    schema: 1,
    place: 'Harbour Lane Barbell Club',
    lifter: 'Rowan Teale',
    lift: 'bench',
    clips,
  };
  await writeFile(join(folder, 'demo.json'), `${JSON.stringify(demo, null, 2)}\n`);
}

main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
});
