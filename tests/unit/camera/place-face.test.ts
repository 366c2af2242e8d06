import { describe, expect, it } from 'vitest';
import { faceSeen, placeFace, type FacingView } from '../../../shared-lib/camera/place-face.ts';
import type { CameraPose } from '../../../shared-lib/contract/trace.ts';
import { paintDisc, type Paint } from '../picture/paint-disc.ts';

const picture = { widthPx: 320, heightPx: 420 };
const radiusPx = 80;
/** A camera that sees the disc squarely, ten radii away. */
const pose: CameraPose = {
  focalPx: 10 * radiusPx,
  cxPx: 159.5,
  cyPx: 209.5,
  normal: [0, 0, -1],
  distanceRadii: 10,
  thicknessRadii: 0.1,
  rings: [],
  sigma: { logFocal: 0.1, yawRad: 0.02, offSquareRad: 0.02, pitchRad: 0.02, size: 0.005 },
  offset: { dxPx: 0, dyPx: 0 },
  sideMargin: 0,
};
const upright = (xPx: number): boolean => xPx > 160 && xPx < 185;
/** Bolts in an upright, which lie in another place of the disc in each picture. */
const isBolt = (xPx: number, yPx: number): boolean => upright(xPx) && yPx % 40 < 14;

function filmed(yPx: number, turnRad: number, paint: Partial<Paint> = {}, smearYPx = 0): FacingView {
  const centre = { xPx: 152.3, yPx };
  const image = paintDisc({
    width: picture.widthPx,
    height: picture.heightPx,
    disc: { ...centre, aPx: radiusPx, bPx: radiusPx, thetaRad: 0, turnRad, smearYPx },
    noise: 2,
    ...paint,
  });
  const ring = { ...centre, aPx: radiusPx, bPx: radiusPx, thetaRad: 0 };
  return { view: { frame: 0, ring, x0Px: 0, y0Px: 0, image }, centre, turnRad };
}

const hidden = { occluder: isBolt, occluderGrey: 10 };
const others = [150.2, 190.4, 230.1, 270.3].map((yPx, k) => filmed(yPx, 0.02 * k, hidden));
const seen = { picture };

/** Where a face is found in a view that is looked at beside its place. */
function missOf(view: FacingView, face: NonNullable<ReturnType<typeof faceSeen>>) {
  const { centre, turnRad } = view;
  const beside = { xPx: centre.xPx + 1.5, yPx: centre.yPx - 2 };
  const placed = placeFace(view.view, pose, beside, face, turnRad + 0.03, seen)!;
  return { x: placed.xPx - centre.xPx, y: placed.yPx - centre.yPx, sigmaY: Math.sqrt(placed.varYPx2) };
}

describe('the face of a disc', () => {
  it('leaves out what stands before the disc in the picture it is taken from', () => {
    const alone = faceSeen(filmed(170.6, 0, hidden), [], pose, seen)!;
    const common = faceSeen(filmed(170.6, 0, hidden), others, pose, seen)!;
    const bolts = alone.template.u.filter((u, i) =>
      isBolt(152.3 + 80 * u, 170.6 + 80 * alone.template.v[i]),
    ).length;
    const left = common.template.u.filter((u, i) =>
      isBolt(152.3 + 80 * u, 170.6 + 80 * common.template.v[i]),
    ).length;
    expect(bolts).toBeGreaterThan(80);
    expect(left).toBeLessThan(0.2 * bolts);
    expect(common.template.u.length).toBeGreaterThan(0.8 * (alone.template.u.length - bolts));
  });

  it('is found to a tenth of a pixel where motion draws the disc out and something stands before it', () => {
    const face = faceSeen(filmed(170.6, 0, hidden), others, pose, seen)!;
    for (const [yPx, turnRad] of [
      [165.3, 0.05],
      [215.8, -0.1],
      [260.1, 0.12],
    ]) {
      const { x, y, sigmaY } = missOf(filmed(yPx, turnRad, hidden, 12), face);
      expect(Math.abs(x)).toBeLessThan(0.15);
      expect(Math.abs(y)).toBeLessThan(0.15);
      expect(sigmaY).toBeLessThan(0.25);
    }
  });

  it('is no evidence where the disc is plain', () => {
    const plain = { plain: true };
    const one = faceSeen(filmed(170.6, 0, plain), [filmed(230.1, 0, plain)], pose, seen)!;
    const { view, centre } = filmed(215.8, 0, plain, 12);
    expect(placeFace(view, pose, centre, one, 0, seen)).toBeNull();
  });
});
