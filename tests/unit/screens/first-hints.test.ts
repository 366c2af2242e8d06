import { describe, expect, it } from 'vitest';
import { firstHints } from '../../../renderer/steps/bring-in/first-hints.ts';
import { doubtsOf, nextDoubt } from '../../../renderer/steps/follow/doubtful.ts';
import type { MediaInfo } from '../../../shared-lib/contract/clip.ts';

const media = {
  widthPx: 1920,
  heightPx: 1080,
  bytes: 10e6,
  durationS: 5,
  nominalFps: 60,
  captureFps: null,
  declaredFrames: 300,
} as unknown as MediaInfo;
const even = Array.from({ length: 300 }, (_, i) => i / 60);

describe('firstHints', () => {
  it('has nothing to say of a good clip', () => {
    expect(firstHints(media, even)).toEqual([]);
  });

  it('has nothing to say of few bytes: a scene that stands still takes few', () => {
    expect(firstHints({ ...media, bytes: 1e5 }, even)).toEqual([]);
  });

  it('names each thing that could be better', () => {
    expect(firstHints({ ...media, nominalFps: 30 }, even)[0]).toContain('60 frames a second');
    expect(firstHints({ ...media, captureFps: 240 }, even)[0]).toContain('Taken at 240');
    expect(firstHints({ ...media, widthPx: 854, heightPx: 480 }, even)[0]).toContain('original file');
    expect(firstHints({ ...media, widthPx: 1080, heightPx: 1920 }, even)[0]).toContain('upright');
    const uneven = even.map((t, i) => t + (i % 3 === 0 ? 0.01 : 0));
    expect(firstHints(media, uneven)[0]).toContain('varies');
  });
});

describe('doubtsOf', () => {
  const state = ['seen', 'seen', 'bridged', 'bridged', 'lost', 'seen', 'seen', 'seen', 'seen', 'seen', 'seen', 'seen'] as const; // prettier-ignore
  const confidence = state.map((each, i) => (each !== 'seen' ? 0 : i === 11 ? 0.3 : 0.9));
  const doubts = doubtsOf({ state: [...state], confidence, leftOut: [] });

  it('joins what is near, and calls a stretch by its worst', () => {
    expect(doubts).toEqual([
      { from: 2, to: 4, why: 'lost' },
      { from: 11, to: 11, why: 'unsure' },
    ]);
  });

  it('asks nobody to look at what was not looked at for nothing moved there', () => {
    const leftOut = [{ from: 2, to: 5 }];
    expect(doubtsOf({ state: [...state], confidence, leftOut })).toEqual([
      { from: 11, to: 11, why: 'unsure' },
    ]);
  });

  it('goes on to the next and round', () => {
    expect(nextDoubt(doubts, 2, 1)?.from).toBe(11);
    expect(nextDoubt(doubts, 11, 1)?.from).toBe(2);
    expect(nextDoubt(doubts, 2, -1)?.from).toBe(11);
    expect(nextDoubt([], 0, 1)).toBeNull();
  });
});
