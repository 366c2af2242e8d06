import { useEffect } from 'react';
import { create } from 'zustand';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import { sideNames, type ReviewSide, type SideName } from '../../shared-lib/contract/review.ts';
import { bridge, keepNow, run, useDesk } from './store.ts';

export type Followed = OutputOf<'followSide'>;

const keyOf = ({ clip, options }: ReviewSide): string => JSON.stringify([clip.sha256, options]);

/** What was followed, by clip and by what was said of it. */
const useKept = create<{ kept: ReadonlyMap<string, Followed> }>(() => ({ kept: new Map() }));

let under = '';

/** Follows every clip of the review that is not followed yet with what is said of it now, one after the other. */
async function followAll(): Promise<void> {
  const review = useDesk.getState().review?.now;
  if (!review) return;
  const wanted = sideNames.filter((name) => {
    const side = review[name];
    return side !== null && !useKept.getState().kept.has(keyOf(side));
  });
  const key = wanted.map((name) => keyOf(review[name]!)).join();
  if (wanted.length === 0 || under === key) return;
  under = key;
  await keepNow();
  for (const name of wanted) {
    const word = name === 'today' ? 'today’s clip' : 'the reference clip';
    const found = await run(`Following the bar in ${word}`, (job) =>
      bridge.call('followSide', { id: review.id, side: name }, job),
    );
    if (!found) break;
    useKept.setState(({ kept }) => ({ kept: new Map(kept).set(keyOf(review[name]!), found) }));
  }
  under = '';
}

/** One side followed with what is said of it now; null until it is, and again when something else is said. */
export function useFollowed(name: SideName): { followed: Followed | null; follow: () => void } {
  const side = useDesk((desk) => desk.review!.now[name]);
  const key = side ? keyOf(side) : '';
  useEffect(() => {
    // Typing a number is no reason to begin at once.
    const timer = setTimeout(() => void followAll(), 300);
    return () => clearTimeout(timer);
  }, [key]);
  const followed = useKept(({ kept }) => kept.get(key) ?? null);
  return { followed, follow: () => void followAll() };
}
