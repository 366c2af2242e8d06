import { range } from 'd3-array';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { KeyFrameScan, leftOutOf } from '../../../shared-lib/trace/key-frame-scan.ts';

const second = range(40);
/** A clip of 40 s with a key frame each second, of which those differ from the one before. */
const still = (changed: readonly number[]) => second.map((i) => i > 0 && !changed.includes(i));

describe('leftOutOf', () => {
  it('leaves out what is farther than 3 s before a change and 3 s after it', () => {
    expect(leftOutOf(second, still([20, 21, 22]), 40)).toEqual([
      { fromS: 0, toS: 16 },
      { fromS: 25, toS: Infinity },
    ]);
  });

  it('follows two reps far apart, and leaves out what lies between', () => {
    expect(leftOutOf(second, still([3, 4, 5, 34, 35, 36]), 40)).toEqual([{ fromS: 8, toS: 30 }]);
  });

  it('leaves nothing out that a rep’s window may hold between an unrack and the start', () => {
    // Motion until 12 s and from 18 s on.
    expect(leftOutOf(second, still([10, 11, 12, 19, 20, 21]), 40)).toEqual([
      { fromS: 0, toS: 6 },
      { fromS: 24, toS: Infinity },
    ]);
  });

  it('follows whatever lies between key frames two seconds apart: a whole rep may', () => {
    const sparse = range(0, 40, 2);
    const changed = sparse.map((t) => t > 0 && t !== 20);
    expect(leftOutOf(sparse, changed, 40)).toEqual([]);
  });

  it('follows a stretch without key frames and what lies round it', () => {
    const gone = second.filter((t) => t < 20 || t > 22);
    expect(
      leftOutOf(
        gone,
        gone.map((t) => t > 0),
        40,
      ),
    ).toEqual([
      { fromS: 0, toS: 16 },
      { fromS: 26, toS: Infinity },
    ]);
  });

  it('follows all where the key frames say nothing or it is not worth it', () => {
    expect(leftOutOf([0], [false], 40)).toEqual([]);
    expect(leftOutOf([], [], 40)).toEqual([]);
    expect(leftOutOf(second, still(second), 40)).toEqual([]);
    expect(leftOutOf(second, still([4, 9, 14, 19, 24, 29, 34]), 40)).toEqual([]);
    expect(leftOutOf(second, still([]), 40), 'nothing moves at all').toEqual([]);
  });
});

/** A grainy wall with a disc before it. */
function picture(
  seed: number,
  {
    xPx = 120,
    grain = 4,
    light = 0,
    disc = 40,
  }: { xPx?: number; grain?: number; light?: number; disc?: number },
): GreyImage {
  const random = seededRandom(seed);
  const [width, height] = [320, 240];
  const data = Uint8Array.from({ length: width * height }, (_, i) => {
    const inside = Math.hypot((i % width) - xPx, Math.floor(i / width) - 120) < 40;
    // The left half is nearer to the lamp.
    const lit = i % width < width / 2 ? light : 0;
    return 100 + lit + (inside ? disc - 100 : 0) + grain * (random.uniform() + random.uniform() - 1) * 2.4;
  });
  return { width, height, data };
}

/** Whether 20 s in which the picture changes once, at 10 s and for good, are told from 20 s in which it does not. */
function isToldApart(change: Parameters<typeof picture>[1], usual: typeof change = {}): boolean {
  const scan = new KeyFrameScan();
  for (const t of range(30)) scan.look(picture(t, t < 15 ? usual : { ...usual, ...change }), t);
  const [first] = scan.leftOut(30);
  // A change at 15 s: what lies 3 s before it is left out and no more.
  return first !== undefined && first.toS === 11;
}

describe('KeyFrameScan', () => {
  it.each([
    ['a disc that moves by two pixels', { xPx: 122 }, {}],
    ['a dark disc before a dark wall that moves by its radius', { xPx: 160 }, { disc: 92 }],
    ['light that changes on one side', { light: 5 }, {}],
  ])('sees %s', (_, change, usual) => expect(isToldApart(change, usual)).toBe(true));

  it('takes grain for none, and says nothing where grain hides what moves', () => {
    const alone = new KeyFrameScan();
    const grainy = new KeyFrameScan();
    for (const t of range(30)) {
      // The first second moves, so that there is something to follow.
      alone.look(picture(t, { xPx: t < 1 ? 100 : 120 }), t);
      grainy.look(picture(t, { xPx: t < 1 ? 100 : 120, grain: 30 }), t);
    }
    expect(alone.leftOut(30)).toEqual([{ fromS: 4, toS: Infinity }]);
    expect(grainy.leftOut(30)).toEqual([]);
  });

  it('tells of each picture whether the scene stands as before, also of one too near to the one before', () => {
    const scan = new KeyFrameScan();
    const at = [0, 1, 2, 2.2, 3, 4].map((t) => scan.look(picture(t, { xPx: t < 2 ? 100 : 120 }), t));
    expect(at).toEqual([false, true, false, true, true, true]);
  });

  it('sees a disc that creeps by less than a pixel from key frame to key frame', () => {
    const scan = new KeyFrameScan();
    for (const t of range(40)) scan.look(picture(t, { xPx: 120 + 0.4 * Math.max(0, t - 20) }), t);
    const sum = scan.leftOut(40).reduce((s, { fromS, toS }) => s + Math.min(toS, 40) - fromS, 0);
    expect(sum).toBeLessThan(20);
    expect(scan.leftOut(40)[0].fromS).toBe(0);
  });
});
