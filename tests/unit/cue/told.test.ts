import { describe, expect, it } from 'vitest';
import { toldOf } from '../../../electron/desk/told.ts';
import { newReview } from '../../../electron/reviews/review-folder.ts';

describe('what the page tells of a review', () => {
  const review = { ...newReview('one', new Date('2026-03-01T10:00:00Z')), lift: 'bench' as const };

  it('is nothing where nobody said anything', () => {
    expect(toldOf(review)).toEqual({ lifter: null, cues: [], painReported: null });
  });

  it('is the lifter, the cues in order with what each is about, and the pain', () => {
    const moment = { side: 'today' as const, tS: 1 };
    const told = toldOf({
      ...review,
      lifter: { name: 'Rowan Teale', bodyKg: null },
      coaching: {
        ...review.coaching,
        pain: ' left shoulder ',
        observations: [{ id: 'n1', text: 'Feet move', moment }],
        cues: [
          { id: 'n1', text: 'Touch higher', aim: { kind: 'measure', measure: 'drift_bottom_m', wanted: 'less' }, moment }, // prettier-ignore
          { id: 'n2', text: 'Push the floor away', aim: { kind: 'observation', observation: 'n1' }, moment },
        ],
      },
    });
    expect(told).toEqual({
      lifter: 'Rowan Teale',
      painReported: 'left shoulder',
      cues: [
        { text: 'Touch higher', because: 'So that next time: drift at touch: toward the head.' },
        { text: 'Push the floor away', because: 'Seen today: Feet move.' },
      ],
    });
  });
});
