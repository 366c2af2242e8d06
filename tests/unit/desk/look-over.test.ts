import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../../electron/desk/look-over.ts';
import type { RepsOfClip } from '../../../electron/desk/clip-reps.ts';
import type { ClipCheck } from '../../../shared-lib/contract/clip.ts';
import { discQuestion } from '../../../shared-lib/trace/disc-question.ts';

const verdicts = { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good' };
const withSureness = (sureness?: number, improbable?: ClipCheck['improbable']): RepsOfClip => {
  const seed = { ptsS: 0, xPx: 1, yPx: 1, source: 'found', ...(sureness === undefined ? {} : { sureness }) };
  return {
    reps: [{}],
    clipFile: { check: { verdicts, advice: [], improbable }, calibration: { seed } },
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
    expect(discQuestion(withSureness(0.8).clipFile)).toBeNull();
  });

  it('asks about a bar that moves as no lifter’s does, even where a person pointed at the disc', () => {
    const improbable = { said: 'The bar rises by 251 cm here.', advice: 'Point at the disc.' };
    expect(findingsOf(withSureness(undefined, improbable))).toEqual({
      stage: 'needs you',
      said: 'One rep found. The bar rises by 251 cm here.',
      advice: 'Point at the disc.',
    });
  });
});
