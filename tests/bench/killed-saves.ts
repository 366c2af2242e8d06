import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { drawsOf } from '../fuzz/mutate.ts';
import { killWhileSaving, type Killed } from '../unit/reviews/killed.ts';
import { documentsOf, savedKinds } from '../unit/reviews/saved-kinds.ts';
import { keptResults } from './kept-results.ts';

/**
 * Kills the program at random moments while it saves reviews and lifters in turn, and prints what was lost. A run that
 * was stopped goes on with `--resume`; `--minutes N` stops this one.
 */
const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '1000' },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-killed-saves.jsonl') },
    resume: { type: 'boolean', default: false },
    minutes: { type: 'string', default: 'Infinity' },
  },
});
const kills = Number(values.kills);
const kept = await keptResults<Killed>(values.file, values.resume);
const root = mkdtempSync(path.join(tmpdir(), 'lockstep-killed-'));
const ids = await Promise.all(savedKinds.map((kind) => documentsOf(root, kind).start()));
const untilMs = performance.now() + 60_000 * Number(values.minutes);
for (let kill = 0; kill < kills && performance.now() < untilMs; kill += 1) {
  if (kept.all.has(kill)) continue;
  const i = kill % savedKinds.length;
  await kept.add(kill, await killWhileSaving(root, savedKinds[i], ids[i], drawsOf(kill)));
}
rmSync(root, { recursive: true });

const counted = [...kept.all.entries()].filter(([kill]) => kill < kills);
const sum = (of: keyof Killed, i: number): number =>
  counted.filter(([kill]) => kill % savedKinds.length === i).reduce((all, [, each]) => all + each[of], 0);
console.log(`killed ${counted.length} times`);
for (const [i, kind] of savedKinds.entries()) {
  console.log(
    `  ${kind}: ${sum('saves', i)} saves told as kept, ${sum('lost', i)} lost, ${sum('unreadable', i)} times unreadable`,
  );
}
const failed = counted.some(([, { lost, unreadable }]) => lost + unreadable > 0);
process.exitCode = failed ? 1 : 0;
