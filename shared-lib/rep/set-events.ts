import type { MovableEvent, SetEvent } from '../contract/review.ts';
import type { RepEvents } from '../contract/rep.ts';

/** Event times that a person set, real seconds. */
export type EventsByHand = Partial<Record<MovableEvent, number>>;

const order = ['startS', 'touchS', 'bottomS', 'driveStartS', 'lockoutS'] as const;

/**
 * A rep's events with those that a person moved where they were put. A bottom that nobody set keeps between its
 * neighbours, a pause begins and ends with the touch and the drive's start, and an event that the rep does not have stays
 * absent.
 *
 * @returns null where the events no longer follow one another
 */
export function withEventsByHand(events: RepEvents, hand: EventsByHand): RepEvents | null {
  const moved = { ...events };
  if (hand['lift-off'] !== undefined) moved.startS = moved.driveStartS = hand['lift-off'];
  if (hand.start !== undefined) moved.startS = hand.start;
  if (hand.touch !== undefined && events.touchS !== null) {
    moved.touchS = hand.touch;
    if (moved.pauseStartS !== null) moved.pauseStartS = hand.touch;
  }
  if (hand['drive start'] !== undefined) {
    moved.driveStartS = hand['drive start'];
    if (moved.pauseEndS !== null) moved.pauseEndS = moved.driveStartS;
  }
  if (events.lockoutS !== null && hand.lockout !== undefined) moved.lockoutS = hand.lockout;
  if (events.bottomS !== null) {
    const earliest = moved.touchS ?? moved.startS;
    moved.bottomS = hand.bottom ?? Math.min(Math.max(events.bottomS, earliest), moved.driveStartS);
  }
  if (moved.pauseStartS !== null && moved.pauseEndS !== null && moved.pauseEndS <= moved.pauseStartS)
    moved.pauseStartS = moved.pauseEndS = null;
  const times = order.flatMap((name) => moved[name] ?? []);
  const inOrder = times.every((tS, i) => i === 0 || tS >= times[i - 1]);
  return inOrder && moved.driveStartS < (moved.lockoutS ?? Infinity) ? moved : null;
}

/** What a person set in one rep, in real time. */
export const eventsByHand = (set: readonly SetEvent[], rep: number, slowMotion: number): EventsByHand =>
  Object.fromEntries(
    set.filter((each) => each.rep === rep).map(({ event, fileS }) => [event, fileS / slowMotion]),
  );
