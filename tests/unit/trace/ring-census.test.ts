import { describe, expect, it } from 'vitest';
import { countRings, emptyCensus, outermostRing } from '../../../shared-lib/trace/ring-census.ts';
import { paintDisc } from '../picture/paint-disc.ts';

const aPx = 60;
const pictures = Array.from({ length: 14 }, (_, k) => {
  const disc = { xPx: 120 + 2 * k, yPx: 100 + 5 * k, aPx, bPx: aPx, thetaRad: 0, turnRad: 0.02 * k };
  return { disc, picture: paintDisc({ width: 320, height: 280, disc, noise: 2, seed: k + 1 }) };
});

/** The census of a follower on a ring of this share of the rim's size. */
function multipleFrom(share: number, count = pictures.length): number {
  const census = emptyCensus();
  for (const { disc, picture } of pictures.slice(0, count)) {
    const { xPx, yPx } = disc;
    countRings(census, picture, { xPx, yPx, aPx: share * aPx, bPx: share * aPx, thetaRad: 0 });
  }
  return outermostRing(census);
}

describe('outermostRing', () => {
  it('finds the rim from a ring painted on the face, to half a percent', () => {
    expect(multipleFrom(0.88) * 0.88).toBeCloseTo(1, 2);
    expect(Math.abs(multipleFrom(0.75) * 0.75 - 1)).toBeLessThan(0.005);
  });

  it('leaves the rim alone', () => {
    expect(multipleFrom(1)).toBe(1);
  });

  it('says nothing after a few pictures', () => {
    expect(multipleFrom(0.88, 3)).toBe(1);
  });
});
