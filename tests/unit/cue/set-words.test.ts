import { describe, expect, it } from 'vitest';
import { setSentences } from '../../../shared-lib/cue/set-words.ts';

const plain = (texts: readonly string[]): string[] => texts.map((text) => text.replaceAll('\u00a0', ' '));
/** Scatter of a set's reps, metres: none of it goes one way. */
const scatter = [0.001, -0.002, 0.002, -0.001, 0.001, -0.001];
const set = (creepM: number, speeds: readonly number[]) =>
  speeds.map((mean_drive_mps, k) => ({
    drift_bottom_m: 0.05 + (creepM * k) / (speeds.length - 1) + scatter[k],
    descent_s: 1.6 + scatter[k],
    mean_drive_mps,
  }));

describe('what happened over a set within one clip', () => {
  it('is the speed lost from the fastest rep to the last, and the drift that crept in with its interval', () => {
    const said = plain(setSentences('bench', set(0.04, [0.42, 0.44, 0.41, 0.38, 0.36, 0.33])));
    expect(said[0]).toBe(
      'The last rep was 25 % slower on the way up than the fastest one: 0.33 m/s against 0.44 m/s on average.',
    );
    const found = /^Over 6 reps drift at touch crept (\d\.\d) cm further toward the feet \((\d\.\d) to (\d\.\d) cm\)\.$/.exec(said[1])!;
    const [total, lo, hi] = found.slice(1).map(Number);
    expect(Math.abs(total - 4)).toBeLessThan(0.3);
    expect(lo).toBeLessThan(4);
    expect(hi).toBeGreaterThan(4);
    expect(said.at(-1)).toMatch(/judges itself alone/);
  }); // prettier-ignore

  it('is nothing where reps only scatter', () => {
    const said = plain(setSentences('bench', set(0, [0.4, 0.41, 0.4, 0.41, 0.4, 0.42])));
    expect(said).toEqual([
      'The last rep was the fastest on the way up, 0.42 m/s on average.',
      'Nothing that is called crept in over these 6 reps beyond their own scatter.',
      'This set judges itself alone: what is usual for the lifter takes reps of several days.',
    ]);
  });

  it('names the last rep where it alone stands apart', () => {
    const reps = set(0, [0.4, 0.41, 0.4, 0.41, 0.4, 0.4]);
    reps[5].descent_s = 2.4;
    expect(plain(setSentences('bench', reps)).join(' ')).toMatch(
      /The last rep stands apart from those before it in descent: 0\.80? s longer\./,
    );
  });

  it('says nothing of fewer than three reps', () => {
    expect(setSentences('bench', set(0, [0.4, 0.3]))).toEqual([]);
  });
});
