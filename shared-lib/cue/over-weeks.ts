import type { CueAim } from '../contract/coaching.ts';
import { measureInfo, type MeasureName } from '../contract/measures.ts';
import type { Measure } from '../contract/rep.ts';
import type { Review } from '../contract/review.ts';
import type { CueNow, Week } from '../contract/weeks.ts';
import { measureLabel } from '../pair/sentences.ts';
import { callOfCue, callOfSeen } from './cue-call.ts';
import { whyNotComparable } from './comparable.ts';

/** A review with today's rep measured, or why it could not be. */
export interface MeasuredReview {
  review: Review;
  measures: Record<MeasureName, Measure | null> | null;
  trouble: string | null;
}

/** Half of the 95 % interval of the difference of two ordinary reps of the lifter, by measure; null where unknown. */
export type Scatter = (measure: MeasureName) => number | null;

/**
 * One lifter's reviews of one lift over the weeks: what each measured, and in each what became of the cues that were open
 * by then. A cue is open until it took.
 *
 * @param reviews oldest first
 */
export function overWeeks(reviews: readonly MeasuredReview[], scatter: Scatter = () => null): Week[] {
  const newest = reviews.at(-1);
  const took = new Set<string>();
  return reviews.map((at, i): Week => {
    const { review, measures, trouble } = at;
    const earlierCues = reviews
      .slice(0, i)
      .flatMap((before) =>
        before.review.coaching.cues.map((cue, n) => cueNow(before, { cue, main: n === 0 }, at, scatter)),
      )
      .filter(({ review: from, cue }) => !took.has(`${from} ${cue}`));
    for (const { review: from, cue, call } of earlierCues) if (call === 'took') took.add(`${from} ${cue}`);
    return {
      review: review.id,
      title: review.title,
      at: review.madeAt,
      lift: review.lift,
      loadKg: review.today?.loadKg ?? null,
      measures,
      trouble,
      notComparable: at === newest ? null : againstToday(review, newest!.review),
      cues: review.coaching.cues.map(({ text, aim }, n) => ({
        text,
        main: n === 0,
        aim,
        about: aboutOf(aim, review),
      })),
      earlierCues,
    };
  });
}

function cueNow(
  before: MeasuredReview,
  { cue, main }: { cue: Review['coaching']['cues'][number]; main: boolean },
  now: MeasuredReview,
  scatter: Scatter,
): CueNow {
  const { aim } = cue;
  const measured = aim.kind === 'measure';
  const was = measured ? (before.measures?.[aim.measure] ?? null) : null;
  const is = measured ? (now.measures?.[aim.measure] ?? null) : null;
  const answer = measured
    ? callOfCue({
        wanted: aim.wanted,
        before: was,
        now: is,
        delta: measureInfo[aim.measure].delta,
        scatterU95: scatter(aim.measure),
        notComparable: againstToday(before.review, now.review),
      })
    : callOfSeen(
        now.review.coaching.seenAgain.find((s) => s.review === before.review.id && s.cue === cue.id)?.seen ??
          null,
      );
  return {
    review: before.review.id,
    cue: cue.id,
    givenAt: before.review.madeAt,
    text: cue.text,
    main,
    aim,
    about: aboutOf(aim, before.review),
    before: was,
    now: is,
    ...answer,
  };
}

/** What a cue is about, in words. */
export function aboutOf(aim: CueAim, review: Review): string {
  if (aim.kind === 'measure') return measureLabel(aim.measure, review.lift);
  return review.coaching.observations.find(({ id }) => id === aim.observation)?.text ?? 'something seen';
}

function againstToday(earlier: Review, today: Review): string | null {
  const asked = ({ lift, today: side }: Review) =>
    side && { lift, loadKg: side.loadKg, circumstances: side.circumstances };
  const [a, b] = [asked(earlier), asked(today)];
  if (!a || !b) return 'One of the two reviews has no clip of today’s rep.';
  const why = whyNotComparable(a, b);
  return why.length > 0 ? why.join(' ') : null;
}
