import type { ClipFile } from '../contract/clip.ts';
import type { Failure } from '../contract/errors.ts';
import { sideNames, type Review } from '../contract/review.ts';
import { clipProblems } from '../camera/clip-problems.ts';
import type { Texts } from './texts.ts';

/** What a review is about, as far as a message needs it. */
export type Asked = Pick<Review, 'lift' | 'lifter' | 'asked' | 'reference' | 'today'>;

/**
 * A message that asks the lifter for what is missing: facts that nobody said, and a better clip where today's cannot carry
 * everything. Null where nothing is missing.
 *
 * @param clip today's, once it is followed; why it could not be; null before
 */
export function messageOf(
  review: Asked,
  clip: ClipFile | Pick<Failure, 'what'> | null,
  texts: Texts,
): string | null {
  const { message } = texts;
  const facts = missingFacts(review, texts);
  const problems = problemsWith(clip, texts);
  const cut = clip && 'timing' in clip && clip.timing.partial ? [message.cutShort] : [];
  if (facts.length + problems.length + cut.length === 0) return null;
  const list = (title: string, items: readonly string[]): string[] =>
    items.length === 0 ? [] : ['', `${title}:`, ...items.map((item) => `– ${item}`)];
  return [
    message.hello(review.lifter.name.trim() || null),
    '',
    message.thanks(texts.lifts[review.lift]),
    ...list(message.facts, facts),
    ...list(message.clip, problems),
    ...(cut.length > 0 ? ['', ...cut] : []),
    ...(problems.length > 0 ? ['', texts.filmSafely] : []),
    '',
    message.hurts,
  ].join('\n');
}

function problemsWith(clip: Parameters<typeof messageOf>[1], { message }: Texts): string[] {
  if (!clip) return [];
  if ('what' in clip) return [message.unreadable];
  return clipProblems(clip).map(({ problem, better }) => message.why(problem, better));
}

function missingFacts(review: Asked, { message }: Texts): string[] {
  const { lift, asked, today } = review;
  const said = today?.circumstances;
  const loads = sideNames.filter((name) => review[name] !== null && review[name].loadKg === null);
  return [
    ...loads.map((name) => message.load(name === 'today' ? message.ofToday : message.ofReference)),
    ...(asked.trim() ? [] : [message.asked]),
    ...(said && said.day === null ? [message.day] : []),
    ...(said && lift === 'bench' && said.bottom === null ? [message.pause] : []),
    ...(said && said.repsLeft === null ? [message.effort] : []),
    ...(said && said.equipment === null ? [message.equipment] : []),
  ];
}
