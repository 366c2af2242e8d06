import { useState } from 'react';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { ReviewSide, SideName } from '../../shared-lib/contract/review.ts';
import { bridge, keepNow, run, useDesk } from './store.ts';

export type Followed = OutputOf<'followSide'>;

const followedKey = ({ clip, options }: ReviewSide): string => JSON.stringify([clip.sha256, options]);
const kept = new Map<string, Followed>();

/** One side followed with what is said of it now; null until it is, and again when something else is said. */
export function useFollowed(name: SideName): { followed: Followed | null; follow: () => void } {
  const side = useDesk((desk) => desk.review!.now[name]);
  const id = useDesk((desk) => desk.review!.now.id);
  const key = side ? followedKey(side) : '';
  const [, shown] = useState(0);
  const follow = async (): Promise<void> => {
    if (!side || kept.has(key)) return;
    await keepNow();
    const word = name === 'today' ? 'today’s clip' : 'the reference clip';
    const found = await run(`Following the bar in ${word}`, (job) =>
      bridge.call('followSide', { id, side: name }, job),
    );
    if (found) kept.set(key, found);
    shown((n) => n + 1);
  };
  return { followed: kept.get(key) ?? null, follow: () => void follow() };
}
