import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decimalsFor,
  load,
  percent,
  Quantity,
  shownUnit,
  type ShownUnit,
} from '../../../shared-lib/pair/units.ts';

const free: ShownUnit = { suffix: '', perSi: 1, usualDecimals: 2, mostDecimals: 12 };

describe('shown units', () => {
  it.each([
    ['rom_m', 'm', 0.382, '38.2 cm'],
    ['fall_m', 'm', 0.004, '4 mm'],
    ['descent_s', 's', 1.724, '1.72 s'],
    ['mean_drive_mps', 'm/s', 0.2581, '0.26 m/s'],
    ['first_angle_rad', 'rad', Math.PI / 6, '30.0°'],
    ['slowest_height_pct', '%', 47.3, '47 %'],
    ['stops', '1', 2, '2'],
    ['load_kg', 'kg', 102.5, '102.5 kg'],
  ])('%s in %s is shown as %s', (name, unit, si, text) => {
    expect(new Quantity(shownUnit(name, unit), null).plain(si).replace('\u00a0', ' ')).toBe(text);
  });

  it('joins number and unit by a space that does not break', () => {
    expect(new Quantity(shownUnit('rom_m', 'm'), null).plain(0.1)).toBe('10.0\u00a0cm');
    expect(load(100)).toBe('100\u00a0kg');
    expect(load(102.5)).toBe('102.5\u00a0kg');
    expect(percent(0.031)).toBe('3\u00a0%');
  });
});

describe('digits from the uncertainty', () => {
  // JCGM 100:2008, 7.2.6: 10.057 62 ohm with 27 milliohm is given as 10.058 ohm; 28.05 kHz as 28 kHz.
  it('follows the examples of the guide', () => {
    expect(decimalsFor(0.027, free)).toBe(3);
    expect(new Quantity(free, 0.027).plain(10.05762)).toBe('10.058');
    expect(new Quantity(free, 28.05).plain(28.05)).toBe('28');
  });

  // Particle Data Group: three highest digits 100 to 354 two digits, 355 to 949 one, 950 to 999 rounded up with two.
  it.each([
    [0.119, 2],
    [0.354, 2],
    [0.356, 1],
    [0.94, 1],
    [0.96, 1],
    [1.2, 1],
    [4, 0],
    [9.7, 0],
    [250, 0],
  ])('an uncertainty of %f supports %i decimals', (u, decimals) => {
    expect(decimalsFor(u, free)).toBe(decimals);
  });

  it('falls back on the usual digits where there is no uncertainty', () => {
    for (const u of [0, NaN, Infinity, -1]) expect(decimalsFor(u, free)).toBe(free.usualDecimals);
  });

  it('never shows more than two significant digits of the uncertainty, nor a value coarser than it', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 9, noNaN: true }), (u) => {
        const step = 10 ** -decimalsFor(u, free);
        expect(u / step).toBeLessThan(36);
        expect(u / step).toBeGreaterThanOrEqual(0.94);
      }),
    );
  });
});

describe('quantities in words', () => {
  const cm = new Quantity(shownUnit('drift_bottom_m', 'm'), 0.008);
  const said = (text: string) => text.replaceAll('\u00a0', ' ');

  it('signs with a true minus, and never signs a zero', () => {
    expect(said(cm.signed(-0.0181))).toBe('−1.8 cm');
    expect(said(cm.signed(0.0181))).toBe('+1.8 cm');
    expect(said(cm.signed(-0.0003))).toBe('0.0 cm');
    expect(said(cm.interval(-0.006, 0.0241))).toBe('−0.6 to +2.4 cm');
  });

  it('gives sizes without a sign, the smaller first', () => {
    expect(said(cm.size(-0.0181))).toBe('1.8 cm');
    expect(said(cm.sizes(-0.03, -0.01))).toBe('1.0 to 3.0 cm');
  });

  it('shows the number it says it rounds to', () => {
    fc.assert(
      fc.property(fc.double({ min: -2, max: 2, noNaN: true }), (si) => {
        const digits = said(cm.plain(si)).replace(' cm', '').replace('−', '-');
        expect(Number(digits)).toBe(cm.rounded(si));
      }),
    );
  });
});
