import fc from 'fast-check';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { edgeVotes, useEdgeVotesKernel } from '../../../shared-lib/picture/edge-votes.ts';
import { reduceBy, useReduceKernel, type GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

let compiled: unknown;
beforeAll(async () => {
  compiled = await compiledKernels();
});
afterEach(() => {
  useEdgeVotesKernel(null);
  useReduceKernel(null);
});

/** A disc in grain. */
function grainy(seed: number, xPx: number, width = 160, height = 90): GreyImage {
  const image = paintDisc({
    width,
    height,
    disc: { xPx, yPx: 44.3, aPx: 21, bPx: 19, thetaRad: Math.PI / 2, turnRad: 0 },
  });
  const random = seededRandom(seed);
  image.data.forEach((grey, i) => {
    image.data[i] = Math.max(0, Math.min(255, Math.round(grey + 8 * random.normal())));
  });
  return image;
}

function voted(image: GreyImage, before: GreyImage | undefined, minR: number, maxR: number) {
  const { votes, peaks, binsRound } = edgeVotes(image, before, minR, maxR);
  const bins = [
    [70.5, 44],
    [20, 80.25],
  ].map(([x, y]) => binsRound(x, y).slice());
  return { votes: votes.slice(), peaks: [...Array.from(peaks)], bins };
}

describe('edges of a picture in compiled code', () => {
  it('vote as in the plain code, to the bit, all of them and those that are new', () => {
    const radius = fc.double({ min: 5, max: 12, noNaN: true });
    fc.assert(
      fc.property(fc.integer(), radius, fc.boolean(), (seed, minR, hasBefore) => {
        const image = grainy(seed, 70);
        const before = hasBefore ? grainy(seed, 64) : undefined;
        const plain = voted(image, before, minR, minR + 20.5);
        expect(plain.peaks.length).toBeGreaterThan(0);
        useEdgeVotesKernel(compiled);
        expect(voted(image, before, minR, minR + 20.5)).toEqual(plain);
        useEdgeVotesKernel(null);
      }),
      { numRuns: 20 },
    );
  });

  it('vote by the plain code where the picture is larger than the compiled code has room for', () => {
    const image = grainy(1, 70, 900, 600);
    const plain = voted(image, undefined, 5, 30);
    useEdgeVotesKernel(compiled);
    expect(voted(image, undefined, 5, 30)).toEqual(plain);
  });
});

it('pictures are made smaller in compiled code as in the plain code, wherever they lie', () => {
  const there = noiseInMemory(compiled, 203, 117);
  const image = { ...there, data: Uint8Array.from(there.data) };
  for (const factor of [1, 2, 3, 4, 7]) {
    useReduceKernel(null);
    const plain = reduceBy(image, factor);
    useReduceKernel(compiled);
    expect([...reduceBy(there, factor).data]).toEqual([...plain.data]);
    expect(reduceBy(image, factor)).toEqual(plain);
  }
});
