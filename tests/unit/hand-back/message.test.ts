import { describe, expect, it } from 'vitest';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import { newSide } from '../../../shared-lib/contract/review.ts';
import { messageOf, type Asked } from '../../../shared-lib/hand-back/message.ts';
import { mustNotBeSaid } from '../../../shared-lib/hand-back/unsaid.ts';
import { clipFile } from '../page/fixture.ts';

const side = newSide({ sha256: 'a'.repeat(64), name: 'single.mp4', bytes: 1 });
const review: Asked = {
  lift: 'bench',
  lifter: { name: 'Rowan Teale', bodyKg: 82.5 },
  asked: 'Does it drift?',
  reference: { ...side, loadKg: 90 },
  today: {
    ...side,
    loadKg: 95,
    circumstances: { ...nothingAsked, day: '2026-03-01', bottom: 'paused', repsLeft: 1, equipment: 'belt' },
  },
};

describe('the message that asks the lifter', () => {
  it('is none where nothing is missing and the clip carries everything', () => {
    expect(messageOf(review, clipFile('single.mp4'))).toBeNull();
  });

  it('asks for each fact that nobody said, by name', () => {
    const text = messageOf({ ...review, asked: ' ', today: side }, null)!;
    expect(text).toMatch(/^Hello Rowan Teale,/);
    const lines = text.split('\n').filter((line) => line.startsWith('–'));
    expect(lines).toEqual([
      '– the load on the bar in the clip you sent',
      '– what you would like to know',
      '– the day it was filmed',
      '– whether you meant to pause on the chest',
      '– how many more reps would have gone',
      '– what you wore (belt, wraps, sleeves)',
    ]);
    expect(text).toMatch(/licensed clinician/);
  });

  it('asks for a better clip by what stood in the way, and for no risk', () => {
    const clip = clipFile('single.mp4', { offSquareDeg: 38, hiddenShare: 0.42 });
    const text = messageOf(review, clip)!;
    expect(text).toContain('The camera stood 38 degrees off square to the bar\'s path. Stand the phone square'); // prettier-ignore
    expect(text).toContain('hidden in 42 % of the rep');
    expect(text).toContain('never repeated for the camera');
    expect(mustNotBeSaid(text)).toEqual([]);
  });

  it('asks for the original where the file came cut short', () => {
    const clip = clipFile('single.mp4');
    const text = messageOf(review, { ...clip, timing: { ...clip.timing, partial: true } })!;
    expect(text).toContain('cut short or damaged');
  });
});
