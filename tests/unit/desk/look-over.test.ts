import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../../electron/desk/look-over.ts';
import type { RepsOfClip } from '../../../electron/desk/clip-reps.ts';
import { discQuestion } from '../../../shared-lib/trace/disc-question.ts';

const verdicts = { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good' };
const withSureness = (sureness?: number): RepsOfClip => {
  const seed = { ptsS: 0, xPx: 1, yPx: 1, source: 'found', ...(sureness === undefined ? {} : { sureness }) };
  return {
    reps: [{}],
    clipFile: { check: { verdicts, advice: [] }, calibration: { seed } },
  } as unknown as RepsOfClip;
};

describe('findingsOf', () => {
  it('lets a clip be whose disc is plain, and one in which a person pointed at it', () => {
    expect(findingsOf(withSureness(0.8)).stage).toBe('ready');
    expect(findingsOf(withSureness()).stage).toBe('ready');
  });

  it('asks a person where the disc may be another', () => {
    const { stage, said, advice } = findingsOf(withSureness(0.4));
    expect(stage).toBe('needs you');
    expect(said).toContain('One rep found. Check that the right disc is followed');
    expect(advice).toContain('point at the near disc');
    expect(discQuestion({ ptsS: 0, xPx: 0, yPx: 0, source: 'found', sureness: 0.8 })).toBeNull();
  });
});
