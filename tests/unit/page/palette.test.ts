import { describe, expect, it } from 'vitest';
import { dark, light } from '../../../shared-lib/page/palette.ts';
import { contrast } from './contrast.ts';

describe('contrast by WCAG 2.2', () => {
  it('is computed as in the published pairs', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 2);
    expect(contrast('#0000FF', '#ffffff')).toBeCloseTo(8.59, 2);
    expect(contrast('#0000FF', '#FF0000')).toBeCloseTo(2.15, 2);
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
    expect(contrast('#0072B2', '#ffffff')).toBeCloseTo(5.19, 2);
    expect(contrast('#D55E00', '#000000')).toBeCloseTo(5.43, 2);
  });

  describe.each([
    ['light', light],
    ['dark', dark],
  ])('of the %s page', (_, p) => {
    // 1.4.3 (AA): text 4.5 : 1.
    it.each([
      ['ink on paper', p.ink, p.paper],
      ['ink on tint', p.ink, p.tint],
      ['ink on a block', p.ink, p.mid],
      ['muted on paper', p.muted, p.paper],
      ['links on paper', p.link, p.paper],
      ['links on tint', p.link, p.tint],
      ['words on a drive block', p.paper, p.ink],
    ])('text: %s', (_what, a, b) => {
      expect(contrast(a, b)).toBeGreaterThanOrEqual(4.5);
    });

    // 1.4.11 (AA): what a chart needs to be understood, 3 : 1.
    it.each([
      ['reference', p.reference, p.paper],
      ['today', p.today, p.paper],
      ['the line of no change', p.muted, p.paper],
      ['an interval in its zone', p.ink, p.mid],
    ])('lines: %s', (_what, a, b) => {
      expect(contrast(a, b)).toBeGreaterThanOrEqual(3);
    });
  });
});
