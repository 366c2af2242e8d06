import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { findDiscCandidates, strengthOf } from '../../../shared-lib/picture/disc-candidates.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { paintDisc } from './paint-disc.ts';

const disc = { xPx: 310.4, yPx: 150.7, aPx: 40, bPx: 37, thetaRad: Math.PI / 2, turnRad: 0 };

/** A faint disc before a coarse wall of bricks, in the grain of a dark room: edges wherever a ray goes. */
function beforeBricks(): GreyImage {
  const image = paintDisc({ width: 480, height: 270, disc });
  const random = seededRandom(3);
  for (let y = 0; y < image.height; y++) {
    for (let x = 0; x < image.width; x++) {
      const at = y * image.width + x;
      const away = Math.hypot((x - disc.xPx) / disc.bPx, (y - disc.yPx) / disc.aPx);
      const row = Math.floor(y / 14);
      const isJoint = y % 14 < 2 || (x + (row % 2) * 17) % 34 < 2;
      const grey = away > 1 ? (isJoint ? 84 : 104) : 40 + 0.4 * image.data[at];
      image.data[at] = Math.round(Math.max(0, Math.min(255, grey + 5 * random.normal())));
    }
  }
  return image;
}

describe('findDiscCandidates', () => {
  it('puts a disc before the outlines that a wall of bricks makes by chance', () => {
    const [first] = findDiscCandidates(beforeBricks());
    expect(Math.hypot(first.rim.xPx - disc.xPx, first.rim.yPx - disc.yPx)).toBeLessThan(1.5);
    expect(Math.abs(first.rim.aPx / disc.aPx - 1)).toBeLessThan(0.05);
    expect(first.support - first.chance).toBeGreaterThan(0.4);
  });

  it('finds a faint disc through the grain of a large dim picture, which makes edges everywhere', () => {
    const [width, height] = [1920, 1080];
    const faint = { ...disc, xPx: 913.3, yPx: 441.6, aPx: 112, bPx: 110 };
    const random = seededRandom(5);
    const data = paintDisc({ width, height, disc: faint }).data.map((level) =>
      Math.round(Math.max(0, Math.min(255, 60 + 0.08 * level + 6.5 * random.normal()))),
    );
    const found = findDiscCandidates({ width, height, data });
    const best = found.reduce((a, b) => (strengthOf(b) > strengthOf(a) ? b : a));
    expect(Math.hypot(best.rim.xPx - faint.xPx, best.rim.yPx - faint.yPx)).toBeLessThan(0.5);
    expect(Math.abs(best.rim.aPx / faint.aPx - 1)).toBeLessThan(0.015);
  });

  it('says by how much more than chance its edges agree', () => {
    const best = (candidates: ReturnType<typeof findDiscCandidates>): number =>
      Math.max(...candidates.map((c) => c.support - c.chance));
    const image = beforeBricks();
    // The same wall without a disc.
    for (let y = 105; y < 196; y++) {
      const to = y * image.width;
      image.data.copyWithin(to + 262, to + 58, to + 160);
    }
    expect(best(findDiscCandidates(image))).toBeLessThan(0.35);
  });
});
