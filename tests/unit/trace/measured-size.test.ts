import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Trace } from '../../../shared-lib/contract/trace.ts';
import { applySimilarity } from '../../../shared-lib/picture/similarity.ts';
import { inClip, inMeasured, pxPerMeasured, traceInClip } from '../../../shared-lib/trace/measured-size.ts';

describe('the size at which pictures are measured', () => {
  it('is half for 4K lying or standing, and whole for 1080p, 2.7K and odd sizes', () => {
    const of = (widthPx: number, heightPx: number) => pxPerMeasured({ widthPx, heightPx });
    expect([of(3840, 2160), of(2160, 3840), of(4096, 2160)]).toEqual([2, 2, 2]);
    expect([of(1920, 1080), of(2704, 1520), of(3841, 2160)]).toEqual([1, 1, 1]);
  });

  it('keeps edges of pixels on edges: the first two of the clip are the first measured', () => {
    expect(inClip(0, 2)).toBe(0.5);
    expect(inMeasured(-0.5, 2)).toBe(-0.5);
    fc.assert(
      fc.property(fc.double({ min: -1e4, max: 1e4, noNaN: true }), (px) => {
        expect(inMeasured(inClip(px, 2), 2)).toBeCloseTo(px, 9);
      }),
    );
  });
});

describe('a trace measured in smaller pictures', () => {
  const camera = { scale: 1.02, rotationRad: 0.1, txPx: 7, tyPx: -3 };
  const sample = {
    frame: 0,
    ptsS: 0,
    xPx: 100,
    yPx: 40,
    varXPx2: 0.01,
    varYPx2: 0.02,
    covXYPx2: 0.003,
    rimRadiusPx: 60,
    confidence: 1,
    state: 'seen',
    camera,
  } as const;
  const lost = { ...sample, xPx: NaN, yPx: NaN, rimRadiusPx: NaN, state: 'lost' } as const;
  const trace: Trace = {
    samples: [sample, lost],
    rim: { xPx: 100, yPx: 40, aPx: 61, bPx: 59, thetaRad: 0.3 },
    rimSigma: { aPx: 0.1, bPx: 0.2 },
    softeningPx: 0.8,
    uprights: [
      { xPx: 3, yPx: 4, lengthPx: 80, leanRad: 0.01, leanSigmaRad: 0.002, bowPx: 1, bowSigmaPx: 0.1 },
    ],
    shutter: { exposureS: 0.01, sigmaS: 0.002 },
  };
  const large = traceInClip(trace, 2);

  it('has its places, sizes and variances in pixels of the clip, and times and angles as they were', () => {
    expect(large.samples[0]).toMatchObject({
      ...{ xPx: 200.5, yPx: 80.5, varXPx2: 0.04, varYPx2: 0.08, covXYPx2: 0.012, rimRadiusPx: 120 },
      ...{ ptsS: 0, confidence: 1, state: 'seen' },
    });
    expect(large.samples[1]).toMatchObject({ xPx: NaN, rimRadiusPx: NaN, state: 'lost' });
    expect(large.rim).toEqual({ xPx: 200.5, yPx: 80.5, aPx: 122, bPx: 118, thetaRad: 0.3 });
    expect(large.rimSigma).toEqual({ aPx: 0.2, bPx: 0.4 });
    expect(large.softeningPx).toBe(1.6);
    expect(large.uprights).toEqual([
      { xPx: 6.5, yPx: 8.5, lengthPx: 160, leanRad: 0.01, leanSigmaRad: 0.002, bowPx: 2, bowSigmaPx: 0.2 },
    ]);
    expect(large.shutter).toEqual(trace.shutter);
    expect(traceInClip(trace, 1)).toBe(trace);
  });

  it('moves the clip’s pixels as the camera moved the measured ones', () => {
    const place = fc.double({ min: -4000, max: 4000, noNaN: true });
    fc.assert(
      fc.property(place, place, (x, y) => {
        const [u, v] = applySimilarity(camera, x, y);
        const [a, b] = applySimilarity(large.samples[0].camera, inClip(x, 2), inClip(y, 2));
        expect(a).toBeCloseTo(inClip(u, 2), 6);
        expect(b).toBeCloseTo(inClip(v, 2), 6);
      }),
    );
  });
});
