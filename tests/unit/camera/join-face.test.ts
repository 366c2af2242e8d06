import { deviation, mean } from 'd3-array';
import { describe, expect, it } from 'vitest';
import { joinFace, type SettledPicture } from '../../../shared-lib/camera/join-face.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

const radiusPx = 100;
const pictures = 90;

/** A disc that goes down slowly and comes up again in a fifth of the time, followed at its true place but for what is given. */
function filmed(
  at: (k: { yPx: number; movedPx: number }) => {
    outlineY: number;
    outlineSigma: number;
    faceY: number | null;
  },
) {
  const random = seededRandom(5);
  const turn = 0.8 * pictures;
  const yOf = (i: number): number =>
    400 -
    150 *
      Math.cos((Math.PI * Math.min(i, turn)) / turn + (Math.PI * Math.max(0, i - turn)) / (pictures - turn));
  return Array.from({ length: pictures }, (_, i): SettledPicture => {
    const [yPx, movedPx] = [yOf(i), Math.abs(yOf(i + 0.5) - yOf(i - 0.5))];
    const { outlineY, outlineSigma, faceY } = at({ yPx, movedPx });
    const noise = (sigma: number): number => sigma * random.normal();
    const place = { varXPx2: 0.01, covXYPx2: 0 };
    return {
      yPx,
      movedPx,
      settled: {
        ...place,
        dxPx: noise(0.1),
        dyPx: outlineY + noise(0.1),
        varYPx2: outlineSigma ** 2,
        shown: 1,
        shownIn: [],
        stretch: 0,
        shear: 0,
        face:
          faceY === null ? null : { ...place, xPx: 3 + noise(0.1), yPx: faceY + noise(0.1), varYPx2: 0.01 },
      },
    };
  });
}

const spread = (of: readonly SettledPicture['settled'][]): number => deviation(of, ({ dyPx }) => dyPx)!;

describe('joinFace', () => {
  it('goes by the face where motion draws the outline out, and keeps the place that the outline gives', () => {
    const film = filmed(({ movedPx }) => ({
      outlineY: movedPx > 10 ? -3 : 0,
      outlineSigma: movedPx > 10 ? 0.6 : 0.1,
      faceY: 12,
    }));
    expect(spread(film.map(({ settled }) => settled))).toBeGreaterThan(0.9);
    const joined = joinFace(film, radiusPx);
    expect(spread(joined)).toBeLessThan(0.25);
    expect(Math.abs(mean(joined, ({ dyPx }) => dyPx)!)).toBeLessThan(0.15);
  });

  it('trusts a face little that lags behind the disc with its height, as light on a plain disc does', () => {
    const film = filmed(({ yPx }) => ({ outlineY: 0, outlineSigma: 0.1, faceY: 0.05 * (400 - yPx) }));
    expect(spread(joinFace(film, radiusPx))).toBeLessThan(0.12);
  });

  it('is surer than either where both agree, and less sure where they do not', () => {
    const varY = (faceOff: number): number => {
      const film = filmed(({ movedPx }) => ({
        outlineY: 0,
        outlineSigma: 0.1,
        faceY: movedPx > 9 ? faceOff : 0,
      }));
      const fastest = film.reduce((best, { movedPx }, i) => (movedPx > film[best].movedPx ? i : best), 0);
      return joinFace(film, radiusPx)[fastest].varYPx2;
    };
    expect(varY(0)).toBeLessThan(0.007);
    expect(varY(2)).toBeGreaterThan(0.05);
  });

  it('leaves alone what shows no face, and a disc seen at too few heights to tell how good the face is', () => {
    const film = filmed(() => ({ outlineY: 0, outlineSigma: 0.1, faceY: null }));
    expect(joinFace(film, radiusPx)).toEqual(film.map(({ settled }) => settled));
    const still = filmed(() => ({ outlineY: 0, outlineSigma: 0.1, faceY: 0 })).map((p) => ({
      ...p,
      yPx: 400,
    }));
    expect(joinFace(still, radiusPx)).toEqual(still.map(({ settled }) => settled));
  });
});
