import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { drawsOf } from '../fuzz/mutate.ts';
import { killWhileSaving } from '../unit/reviews/killed.ts';

/** Kills the program at random moments during many saves of a review, and prints what was lost. */
const { values } = parseArgs({ options: { saves: { type: 'string', default: '1000' } } });
const root = mkdtempSync(path.join(tmpdir(), 'lockstep-killed-'));
const { kills, saves, lost, unreadable } = await killWhileSaving(root, Number(values.saves), drawsOf(1));
rmSync(root, { recursive: true });
console.log(`killed ${kills} times in ${saves} saves: ${lost} saves lost, ${unreadable} times unreadable`);
process.exitCode = lost + unreadable > 0 ? 1 : 0;
