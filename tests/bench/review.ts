import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { sum } from 'd3-array';
import { openApp } from '../e2e/open-app.ts';
import { walkReview, type Deeds } from '../e2e/review-walk.ts';

/**
 * What a whole review of two fresh clips takes, from dropping them to film and page: the machine's work while the hand has to
 * wait, measured, and the hand's, reckoned from its deeds.
 */
const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

/**
 * Seconds of a practised hand, by the keystroke-level model (Card, Moran & Newell 1980, Commun ACM 23(7):396-410; from
 * memory): to point, to press and let go, to type a letter, to move the hand to the keys and back, to make up one's mind.
 */
const hand = { pointS: 1.1, pressS: 0.2, letterS: 0.2, toKeysAndBackS: 0.8, mindS: 1.35 };
/** Silent reading (Brysbaert 2019, J Mem Lang 109:104047; from memory). */
const wordsPerMinute = 238;

const handS = ({ clicks, letters, fields, words }: Deeds): number =>
  clicks * (hand.mindS + hand.pointS + hand.pressS) +
  letters * hand.letterS +
  fields * hand.toKeysAndBackS +
  (words / wordsPerMinute) * 60;

const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-review-'));
const open = await openApp(folder);
try {
  const walked = await walkReview(open.page, [
    { file: demo('bench-practice.mp4'), kg: '90' },
    { file: demo('bench-heavy.mp4'), kg: '107.5' },
  ]);
  const line = (name: string, value: string): void => console.log(`${name.padEnd(44)}${value}`);
  for (const [name, deeds] of [
    ['to the changes', walked.toChanges],
    ['to film and page', walked.whole],
  ] as const) {
    const { clicks, letters, words } = deeds;
    line(
      name,
      `${clicks} clicks, ${letters} letters, ${words} words read: ${handS(deeds).toFixed(0)} s of a hand`,
    );
  }
  for (const [name, s] of Object.entries(walked.waitedS)) line(`waited: ${name}`, `${s.toFixed(1)} s`);
  const machineS = sum(Object.values(walked.waitedS));
  line('machine', `${machineS.toFixed(0)} s`);
  line('in all', `${(machineS + handS(walked.whole)).toFixed(0)} s`);
  const { size } = await stat(path.join(walked.folder, 'side-by-side.mp4'));
  line('film', `${(size / 1e6).toFixed(1)} MB`);
} finally {
  await open.close();
  await rm(folder, { recursive: true, force: true });
}
