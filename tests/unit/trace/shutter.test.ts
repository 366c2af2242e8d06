import { describe, expect, it } from 'vitest';
import type { Trace } from '../../../shared-lib/contract/trace.ts';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { viewOf, type DiscView } from '../../../shared-lib/trace/disc-views.ts';
import { shutterOf } from '../../../shared-lib/trace/shutter.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';

const fps = 30;
const rim = { xPx: 120, yPx: 0, aPx: 50, bPx: 48, thetaRad: Math.PI / 2 };

const moments = 24;

/** A dark disc before a light wall, its light averaged while the shutter is open, and coded as films code it. */
function exposed(yPx: number, smearYPx: number, seed: number): GreyImage {
  const [width, height] = [240, 320];
  const random = seededRandom(seed);
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let light = 0;
      for (let m = 0; m < moments; m++) {
        const at = yPx + smearYPx * ((m + 0.5) / moments - 0.5);
        const outside = Math.hypot((x - rim.xPx) / rim.bPx, (y - at) / rim.aPx) * 49 - 49;
        light += 30 ** 2 + (130 ** 2 - 30 ** 2) * Math.max(0, Math.min(1, 0.5 + outside / 2.5));
      }
      data[y * width + x] = Math.round(16 + Math.sqrt(light / moments) + 2 * random.normal());
    }
  }
  return { width, height, data };
}

/** A disc that falls faster and faster, filmed with the shutter open for a share of the time between pictures. */
function film(share: number, fastestPx: number): { trace: Trace; views: DiscView[] } {
  const places = Array.from({ length: 14 }, (_, k) => 80 + (fastestPx * k * k) / 28);
  const views = places.map((yPx, k) => {
    const smearYPx = share * ((places[k + 1] ?? yPx) - (places[k - 1] ?? yPx)) * 0.5;
    return viewOf(exposed(yPx, smearYPx, k + 1), { ...rim, yPx }, k);
  });
  const samples = places.map((yPx, frame) => ({
    frame,
    ptsS: frame / fps,
    xPx: rim.xPx,
    yPx,
    varXPx2: 0.01,
    varYPx2: 0.01,
    covXYPx2: 0,
    rimRadiusPx: 50,
    confidence: 0.9,
    state: 'seen' as const,
    camera: stillCamera,
  }));
  return { trace: { samples, rim, rimSigma: { aPx: 0.2, bPx: 0.2 } }, views };
}

const shareOf = (share: number, fastestPx: number) => {
  const { trace, views } = film(share, fastestPx);
  const shutter = shutterOf(trace, (frame) => views[frame]);
  return shutter && { share: shutter.exposureS * fps, sigma: shutter.sigmaS * fps };
};

describe('shutterOf', () => {
  it.each([0.2, 0.5, 0.9])(
    'finds how long the shutter was open: %f of the time between pictures',
    (share) => {
      const found = shareOf(share, 12)!;
      expect(Math.abs(found.share - share)).toBeLessThan(0.12);
      expect(found.sigma).toBeGreaterThan(0.05);
      expect(found.sigma).toBeLessThan(0.4);
    },
  );

  it('says nothing where the bar moves too little from picture to picture', () => {
    expect(shareOf(0.5, 2)).toBeNull();
  });
});
