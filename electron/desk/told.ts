import type { FilmShape, LetterPart } from '../../shared-lib/contract/hand-back.ts';
import type { PairFile } from '../../shared-lib/contract/files.ts';
import type { Review, ReviewSide } from '../../shared-lib/contract/review.ts';
import type { CueNow } from '../../shared-lib/contract/weeks.ts';
import { whyNotComparable } from '../../shared-lib/cue/comparable.ts';
import { letterOf } from '../../shared-lib/hand-back/letter.ts';
import { cueMoments, type CueTimes } from '../../shared-lib/hand-back/moments.ts';
import { cueTexts } from '../../shared-lib/hand-back/written.ts';
import type { ChosenPair } from './film-of-pair.ts';

/** What people said that goes back with what was measured, as it is proposed and as it was written over. */
export interface Told {
  /** Whether a coach chose what matters. */
  coached: boolean;
  lifter: string | null;
  days: Record<'reference' | 'today', string | null>;
  parts: LetterPart[];
  said: Readonly<Record<string, string>>;
  /** Cues that are not left out, the main one first. */
  moments: (CueTimes & { text: string })[];
  film: FilmShape;
}

/** What goes back of a review. */
export function toldOf(review: Review, pair: PairFile, chosen: ChosenPair, earlier: readonly CueNow[]): Told {
  const { coaching, asked, reference, today } = review;
  const { said, film } = coaching.handBack;
  const parts = letterOf({
    ...repsOf(chosen),
    pair,
    said: { asked, coaching },
    earlier,
    notComparable: reference && today ? apartFrom(reference, today, review.lift) : [],
    isDepthMarked: today !== null && isDepthMarked(today),
  });
  const texts = cueTexts(parts, said);
  return {
    coached: true,
    lifter: review.lifter.name.trim() || null,
    days: { reference: dayOf(reference), today: dayOf(today) },
    parts,
    said,
    moments: cueMoments(coaching.cues, pair.knots).flatMap((moment) => {
      const text = texts.get(moment.cue);
      return text ? [{ ...moment, text }] : [];
    }),
    film,
  };
}

const isDepthMarked = ({ body }: ReviewSide): boolean =>
  (['hip crease', 'knee top'] as const).every((joint) =>
    body.some((mark) => mark.event === 'bottom' && mark.joint === joint),
  );

/** What goes back of two clips that were compared without a review. */
export const toldOfPair = (pair: PairFile, chosen: ChosenPair): Told => ({
  coached: false,
  lifter: null,
  days: { reference: null, today: null },
  parts: letterOf({ ...repsOf(chosen), pair, said: null, earlier: [], notComparable: [] }),
  said: {},
  moments: [],
  film: 'landscape',
});

const repsOf = ({ reference, today }: ChosenPair) => ({
  reference: { clip: reference.clip.clipFile, rep: reference.entry },
  today: { clip: today.clip.clipFile, rep: today.entry },
});

/** Why two reps do not compare, their loads apart: those are told beside the numbers. */
const apartFrom = (reference: ReviewSide, today: ReviewSide, lift: Review['lift']): string[] =>
  whyNotComparable({ ...reference, lift, loadKg: 1 }, { ...today, lift, loadKg: 1 });

const dayOf = (side: Review['today']): string | null => side?.circumstances.day ?? null;
