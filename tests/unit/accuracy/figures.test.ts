import { describe, expect, it } from 'vitest';
import { figureTable, verdict } from '../../bench/speed/figures.ts';

describe('figures of the speed bench', () => {
  it('are met, or missed by so many per cent', () => {
    expect(verdict(1.5, { most: 1.5 })).toBe('met');
    expect(verdict(3, { most: 1.5 })).toBe('100 % over');
    expect(verdict(4, { least: 5 })).toBe('20 % under');
    expect(verdict(7, { least: 5 })).toBe('met');
    expect(verdict(1, { from: 0.9, to: 1.1 })).toBe('met');
    expect(verdict(1.21, { from: 0.9, to: 1.1 })).toBe('10 % over');
    expect(verdict(NaN, { most: 1 })).toBe('not measured');
  });

  it('stand beside their targets', () => {
    const table = figureTable([
      { name: 'film', value: 0.6789, unit: 'of playback', target: { most: 1 } },
      { name: 'page', value: 2, unit: 's' },
    ]);
    expect(table).toMatch(/film +0\.679 +of playback +at most 1 +met/);
    expect(table).toMatch(/page +2 +s *$/m);
  });
});
