import type { Review } from '../../shared-lib/contract/review.ts';
import { aboutOf } from '../../shared-lib/cue/over-weeks.ts';
import { aimWords } from '../../shared-lib/cue/words.ts';
import type { PageInput } from '../../shared-lib/page/page-input.ts';

/** What people said that belongs on the page. */
export type Told = Pick<PageInput, 'lifter' | 'cues' | 'painReported'>;

export const nothingTold: Told = { lifter: null, cues: [], painReported: null };

/** The lifter's name, the coach's cues with what each is about, and the pain that was mentioned. */
export function toldOf(review: Review): Told {
  const { cues, pain } = review.coaching;
  return {
    lifter: review.lifter.name.trim() || null,
    cues: cues.map(({ text, aim }) => ({
      text,
      because:
        aim.kind === 'measure'
          ? `So that next time: ${aimWords(aim, review.lift)}.`
          : `Seen today: ${aboutOf(aim, review)}.`,
    })),
    painReported: pain.trim() || null,
  };
}
