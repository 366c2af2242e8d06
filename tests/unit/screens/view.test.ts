import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { moved, wholeView, zoomed } from '../../../renderer/panes/view.ts';

describe('the view of the pictures', () => {
  const px = fc.double({ min: -300, max: 300, noNaN: true });
  const factor = fc.double({ min: 1.01, max: 3, noNaN: true });

  it('leaves what lies under the pointer where it is', () => {
    fc.assert(
      fc.property(px, px, factor, (rightPx, upPx, by) => {
        const pxPerM = 500;
        const near = zoomed(wholeView, by, pxPerM, { rightPx, upPx });
        // What is at the point, in metres from the bar's way, before and after.
        expect(near.rightM + rightPx / (pxPerM * near.zoom)).toBeCloseTo(rightPx / pxPerM, 9);
        expect(near.upM + upPx / (pxPerM * near.zoom)).toBeCloseTo(upPx / pxPerM, 9);
      }),
    );
  });

  it('goes back to the whole pictures when it is far enough, and never leaves the bar', () => {
    expect(zoomed(moved({ ...wholeView, zoom: 2 }, 0.3, 0.1), 0.4, 500)).toBe(wholeView);
    expect(moved(wholeView, 9, -9)).toEqual({ zoom: 1, rightM: 0.8, upM: -0.8 });
    expect(zoomed(wholeView, 100, 500).zoom).toBe(6);
  });
});
