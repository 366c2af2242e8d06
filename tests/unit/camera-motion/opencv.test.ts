import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { smallerEigenvalues } from '../../../shared-lib/picture/corners.ts';
import { findConsensus } from '../../../shared-lib/picture/similarity-consensus.ts';
import { applySimilarity } from '../../../shared-lib/picture/similarity.ts';

const point = z.tuple([z.number(), z.number()]);
const row = z.tuple([z.number(), z.number(), z.number()]);
const reference = z
  .object({
    similarities: z.array(
      z.object({
        from: z.array(point),
        to: z.array(point),
        matrix: z.tuple([row, row]),
        inliers: z.array(z.number()),
      }),
    ),
    corners: z.object({
      block: z.number(),
      picture: z.array(z.array(z.number())),
      eigenvalues: z.array(z.array(z.number())),
    }),
  })
  .parse(
    JSON.parse(readFileSync(new URL('../../reference/camera-motion-opencv.json', import.meta.url), 'utf8')),
  );

describe('findConsensus beside OpenCV estimateAffinePartial2D', () => {
  it.each(reference.similarities.map((c, i) => [i, c] as const))(
    'agrees on case %i to 0.05 px all over the picture, and on which points belong',
    (_, { from, to, matrix, inliers }) => {
      const random = seededRandom(2);
      const consensus = findConsensus(
        {
          fromX: Float64Array.from(from, (p) => p[0]),
          fromY: Float64Array.from(from, (p) => p[1]),
          toX: Float64Array.from(to, (p) => p[0]),
          toY: Float64Array.from(to, (p) => p[1]),
          weight: new Float64Array(from.length).fill(1 / 0.08 ** 2),
        },
        { slackPx: 0.26, minBaselinePx: 190, random: () => random.uniform() },
      )!;
      expect(Array.from(consensus.agrees)).toEqual(inliers);
      for (const [x, y] of [
        [0, 0],
        [1920, 0],
        [960, 540],
        [0, 1080],
        [1920, 1080],
      ]) {
        const [u, v] = applySimilarity(consensus.similarity, x, y);
        expect(Math.abs(u - (matrix[0][0] * x + matrix[0][1] * y + matrix[0][2]))).toBeLessThan(0.05);
        expect(Math.abs(v - (matrix[1][0] * x + matrix[1][1] * y + matrix[1][2]))).toBeLessThan(0.05);
      }
    },
  );
});

describe('smallerEigenvalues beside OpenCV cornerMinEigenVal', () => {
  it('agrees to a thousandth of the strongest, away from the border', () => {
    const { block, picture, eigenvalues } = reference.corners;
    const height = picture.length;
    const width = picture[0].length;
    const ours = smallerEigenvalues({ width, height, data: Uint8Array.from(picture.flat()) }, block);
    const strongest = Math.max(...eigenvalues.flat());
    let compared = 0;
    for (let y = block; y < height - block; y++)
      for (let x = block; x < width - block; x++, compared++)
        expect(Math.abs(ours[y * width + x] - eigenvalues[y][x]) / strongest).toBeLessThan(1e-3);
    expect(compared).toBe(30 * 46);
  });
});
