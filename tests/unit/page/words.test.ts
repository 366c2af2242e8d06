import { describe, expect, it } from 'vitest';
import { bandWords } from '../../../shared-lib/page/words.ts';
import { directionWords } from '../../../shared-lib/pair/sentences.ts';

const ways = directionWords('bench');
const said = (text: string) => text.replaceAll('\u00a0', ' ');

describe('where the next ordinary rep falls', () => {
  it('is said without signs', () => {
    expect(said(bandWords('descent_s', 's', { lo95: 2.19, hi95: 2.46 }, ways))).toBe('2.19 to 2.46 s');
  });

  it('has directions where it lies across the bar’s way', () => {
    const across = (lo95: number, hi95: number) =>
      said(bandWords('drift_touch_m', 'm', { lo95, hi95 }, ways));
    expect(across(0.031, 0.062)).toBe('3.1 to 6.2 cm toward the feet');
    expect(across(-0.019, -0.014)).toBe('1.4 to 1.9 cm toward the head');
    expect(across(-0.03, 0.2)).toBe('3 cm toward the head to 20 cm toward the feet');
  });
});
