import { describe, expect, it } from 'vitest';
import { outermostMultiple } from '../../../shared-lib/picture/mean-rim.ts';
import { addToPolarMean, emptyPolarMean } from '../../../shared-lib/picture/polar-mean.ts';
import { paintDisc } from './paint-disc.ts';

const aPx = 60;
const pictures = Array.from({ length: 14 }, (_, k) => {
  const disc = { xPx: 120 + 2 * k, yPx: 100 + 5 * k, aPx, bPx: aPx, thetaRad: 0, turnRad: 0.02 * k };
  return { disc, picture: paintDisc({ width: 320, height: 280, disc, noise: 2, seed: k + 1 }) };
});

/** The rim's multiple of a ring of this share of its size, from the mean picture round it. */
function multipleFrom(share: number, count = pictures.length): number {
  const mean = emptyPolarMean(share * aPx);
  for (const { disc, picture } of pictures.slice(0, count)) {
    addToPolarMean(mean, picture, disc.xPx, disc.yPx, 1);
  }
  return outermostMultiple(mean, { xPx: 0, yPx: 0, aPx: share * aPx, bPx: share * aPx, thetaRad: 0 });
}

describe('outermostMultiple', () => {
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
