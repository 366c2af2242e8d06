import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { demoPair } from './demo-pair.ts';
import { demoWeeks } from './demo-weeks.ts';
import { renderClip } from './render-clip.ts';

/** Makes the committed demo clips, their truth and `demo.json` again, in this folder. */
const folder = import.meta.dirname;

async function main(): Promise<void> {
  const only = process.argv.slice(2);
  const all = [...demoPair, ...demoWeeks].filter(({ file }) => only.length === 0 || only.includes(file));
  for (const { file, spec } of all) {
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
    weeks: await Promise.all(
      demoWeeks.map(async ({ file, day, loadKg }) => ({
        file,
        day,
        load_kg: loadKg,
        ...(await momentsOf(file)),
      })),
    ),
  };
  await writeFile(join(folder, 'demo.json'), `${JSON.stringify(demo, null, 2)}\n`);
}

/** When the rep starts and touches, as the clip's truth says. */
async function momentsOf(file: string): Promise<{ start_s: number; touch_s: number }> {
  const text = await readFile(join(folder, file.replace(/mp4$/, 'truth.json')), 'utf8');
  const [{ start_s, touch_s }] = (JSON.parse(text) as { reps: { start_s: number; touch_s: number }[] }).reps;
  return { start_s, touch_s };
}

main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
});
