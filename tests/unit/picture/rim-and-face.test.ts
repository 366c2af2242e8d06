import { describe, expect, it } from 'vitest';
import type { Rim } from '../../../shared-lib/contract/trace.ts';
import { refineRim } from '../../../shared-lib/picture/rim-search.ts';
import { faceTemplate, registerFace } from '../../../shared-lib/picture/face-registration.ts';
import { findRimEdges } from '../../../shared-lib/picture/rim-edges.ts';
import { fitRimShift } from '../../../shared-lib/picture/rim-fit.ts';
import { paintDisc, type Paint } from './paint-disc.ts';

const size = { width: 320, height: 300 };
const still = { xPx: 150.37, yPx: 140.81, aPx: 80, bPx: 80, thetaRad: 0, turnRad: 0 };
const rimAt = (xPx: number, yPx: number, aPx = 80, bPx = 80): Rim => ({ xPx, yPx, aPx, bPx, thetaRad: 0 });

function shiftOf(paint: Paint, expected: Rim, smear = { x: 0, y: 0 }) {
  const edges = findRimEdges(paintDisc(paint), expected, {
    rays: 128,
    searchPx: 12,
    smearXPx: smear.x,
    smearYPx: smear.y,
    minStep: 4,
  });
  return fitRimShift(edges, {
    maxShiftPx: 12,
    scaleSigma: 0.004,
    shiftSigmaPx: 6,
    kernelPx: 1.5 + 0.15 * smear.y,
  })!;
}

describe('fitRimShift', () => {
  it('finds the shift of a rim to a twentieth of a pixel', () => {
    const shift = shiftOf({ ...size, disc: still, noise: 2 }, rimAt(146, 145));
    expect(146 + shift.dxPx).toBeCloseTo(still.xPx, 1.3);
    expect(145 + shift.dyPx).toBeCloseTo(still.yPx, 1.3);
    expect(Math.abs(shift.dScale)).toBeLessThan(0.002);
    expect(shift.inlierShare).toBeGreaterThan(0.9);
  });

  it('puts a motion-blurred rim where it was at mid-exposure', () => {
    const shift = shiftOf(
      { ...size, disc: { ...still, smearYPx: 10, smearXPx: 2 }, noise: 2 },
      rimAt(148, 143),
      { x: 4, y: 20 },
    );
    expect(Math.abs(148 + shift.dxPx - still.xPx)).toBeLessThan(0.15);
    expect(Math.abs(143 + shift.dyPx - still.yPx)).toBeLessThan(0.25);
  });

  it('holds the centre when an upright hides a third of the rim', () => {
    const shift = shiftOf(
      { ...size, disc: still, noise: 2, occluder: (x) => x > 165 && x < 215 },
      rimAt(147, 143),
    );
    expect(Math.abs(147 + shift.dxPx - still.xPx)).toBeLessThan(0.15);
    expect(Math.abs(143 + shift.dyPx - still.yPx)).toBeLessThan(0.15);
    expect(shift.inlierShare).toBeLessThan(0.9);
  });

  it('states a covariance of the size of its errors', () => {
    let sum = 0;
    let stated = 0;
    const n = 12;
    for (let k = 0; k < n; k++) {
      const disc = { ...still, xPx: 150 + 0.083 * k, yPx: 140 + 0.077 * k };
      const shift = shiftOf({ ...size, disc, noise: 6, seed: k + 1 }, rimAt(148, 143));
      sum += (148 + shift.dxPx - disc.xPx) ** 2 + (143 + shift.dyPx - disc.yPx) ** 2;
      stated += shift.varXPx2 + shift.varYPx2;
    }
    expect(Math.sqrt(sum / n)).toBeLessThan(0.12);
    expect(Math.sqrt(sum / stated)).toBeLessThan(1.5);
    expect(Math.sqrt(sum / stated)).toBeGreaterThan(0.1);
  });
});

describe('refineRim', () => {
  it('fits an oblique rim from a rough circle to a quarter of a pixel', () => {
    const disc = { ...still, aPx: 84, bPx: 72, thetaRad: 1.45 };
    const found = refineRim(paintDisc({ ...size, disc, noise: 2 }), rimAt(154, 137, 82, 82))!;
    expect(Math.abs(found.rim.xPx - disc.xPx)).toBeLessThan(0.15);
    expect(Math.abs(found.rim.yPx - disc.yPx)).toBeLessThan(0.15);
    expect(Math.abs(found.rim.aPx - disc.aPx)).toBeLessThan(0.25);
    expect(Math.abs(found.rim.bPx - disc.bPx)).toBeLessThan(0.25);
    expect(Math.abs(found.rim.thetaRad - disc.thetaRad)).toBeLessThan(0.02);
  });

  it('has no answer where there is no rim', () => {
    const nowhere = { ...still, xPx: -500 };
    expect(refineRim(paintDisc({ ...size, disc: nowhere, noise: 2 }), rimAt(150, 150))).toBeNull();
  });
});

describe('registerFace', () => {
  const template = faceTemplate(paintDisc({ ...size, disc: still, noise: 2 }), rimAt(still.xPx, still.yPx));

  it('registers a shifted and turned face to a twelfth of a pixel', () => {
    const disc = { ...still, xPx: 153.1, yPx: 136.4, turnRad: 0.12 };
    const face = registerFace(
      paintDisc({ ...size, disc, noise: 2, seed: 5 }),
      template,
      rimAt(152.3, 137.2),
      0.05,
    )!;
    expect(Math.abs(152.3 + face.dxPx - disc.xPx)).toBeLessThan(0.08);
    expect(Math.abs(137.2 + face.dyPx - disc.yPx)).toBeLessThan(0.08);
    expect(Math.abs(face.turnRad - 0.12)).toBeLessThan(0.005);
    expect(face.correlation).toBeGreaterThan(0.95);
  });

  it('does not mind a change of brightness and contrast', () => {
    const picture = paintDisc({ ...size, disc: still, noise: 2, seed: 6, brightness: -20, contrast: 0.8 });
    const face = registerFace(picture, template, rimAt(151, 140), 0)!;
    expect(Math.abs(151 + face.dxPx - still.xPx)).toBeLessThan(0.08);
    expect(Math.abs(140 + face.dyPx - still.yPx)).toBeLessThan(0.08);
  });

  it('says how little a face without markings can tell', () => {
    const plain = paintDisc({ ...size, disc: still, noise: 2, plain: true });
    const bare = faceTemplate(plain, rimAt(still.xPx, still.yPx));
    const face = registerFace(
      paintDisc({ ...size, disc: still, noise: 2, seed: 9, plain: true }),
      bare,
      rimAt(150.5, 141),
      0,
    );
    if (face) expect(Math.sqrt(face.varXPx2)).toBeGreaterThan(0.3);
  });
});
