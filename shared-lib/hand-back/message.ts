import type { ClipFile } from '../contract/clip.ts';
import type { Failure } from '../contract/errors.ts';
import { sideNames, type Review } from '../contract/review.ts';
import { clipProblems } from '../camera/clip-problems.ts';
import { texts } from '../texts/texts.ts';

const words = texts.message;

/** What a review is about, as far as a message needs it. */
export type Asked = Pick<Review, 'lift' | 'lifter' | 'asked' | 'reference' | 'today'>;

/**
 * A message that asks the lifter for what is missing: facts that nobody said, and a better clip where today's cannot carry
 * everything. Null where nothing is missing.
 *
 * @param clip today's, once it is followed; why it could not be; null before
 */
export function messageOf(review: Asked, clip: ClipFile | Pick<Failure, 'what'> | null): string | null {
  const facts = missingFacts(review);
  const problems = problemsWith(clip);
  const cut = clip && 'timing' in clip && clip.timing.partial ? [words.cutShort] : [];
  if (facts.length + problems.length + cut.length === 0) return null;
  const list = (title: string, items: readonly string[]): string[] =>
    items.length === 0 ? [] : ['', `${title}:`, ...items.map((item) => `– ${item}`)];
  return [
    words.hello(review.lifter.name.trim() || null),
    '',
    words.thanks(texts.measures.lifts[review.lift]),
    ...list(words.facts, facts),
    ...list(words.clip, problems),
    ...(cut.length > 0 ? ['', ...cut] : []),
    ...(problems.length > 0 ? ['', texts.letter.filmSafely] : []),
    '',
    words.hurts,
  ].join('\n');
}

function problemsWith(clip: Parameters<typeof messageOf>[1]): string[] {
  if (!clip) return [];
  if ('what' in clip) return [words.unreadable];
  return clipProblems(clip).map(({ problem, better }) => texts.clip.both(problem, better));
}

function missingFacts(review: Asked): string[] {
  const { lift, asked, today } = review;
  const said = today?.circumstances;
  const loads = sideNames.filter((name) => review[name] !== null && review[name].loadKg === null);
  return [
    ...loads.map((name) => words.load(name === 'today' ? words.ofToday : words.ofReference)),
    ...(asked.trim() ? [] : [words.asked]),
    ...(said && said.day === null ? [words.day] : []),
    ...(said && lift === 'bench' && said.bottom === null ? [words.pause] : []),
    ...(said && said.repsLeft === null ? [words.effort] : []),
    ...(said && said.equipment === null ? [words.equipment] : []),
  ];
}
