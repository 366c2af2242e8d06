import { useEffect } from 'react';
import { create } from 'zustand';
import type { Letter } from '../../shared-lib/contract/hand-back.ts';
import type { Review } from '../../shared-lib/contract/review.ts';
import { bridge, change, keepNow, run, tell, useDesk } from './store.ts';

interface Kept {
  letter: { key: string; value: Letter } | null;
  message: { key: string; value: string | null } | null;
}

/** What was asked for last, by what it depends on. */
const useKept = create<Kept>(() => ({ letter: null, message: null }));

/** What the coach wrote over changes nothing of what is proposed. */
const letterKey = ({ id, lift, lifter, lifterId, asked, sameCamera, reference, today, coaching }: Review): string =>
  JSON.stringify([id, lift, lifter, lifterId, asked, sameCamera, reference, today, { ...coaching, handBack: null }]); // prettier-ignore

async function askLetter(key: string): Promise<void> {
  const value = await run('Putting together what goes back', async (job) => {
    const review = useDesk.getState().review?.now;
    return review && letterKey(review) === key ? bridge.call('letter', { id: review.id }, job) : null;
  });
  if (value) useKept.setState({ letter: { key, value } });
}

async function askMessage(key: string): Promise<void> {
  await keepNow();
  const review = useDesk.getState().review?.now;
  if (!review || letterKey(review) !== key) return;
  const { text } = await bridge.call('message', { id: review.id });
  useKept.setState({ message: { key, value: text } });
}

/** All that is proposed to go back of the review that is open; null until it is worked out. */
export function useLetter(): { letter: Letter | null; ask: () => void } {
  const key = useDesk(({ review }) => letterKey(review!.now));
  const ready = useDesk(({ review }) => review!.now.reference !== null && review!.now.today !== null);
  const kept = useKept(({ letter }) => letter);
  useEffect(() => {
    if (ready && useKept.getState().letter?.key !== key) void askLetter(key);
  }, [key, ready]);
  return { letter: kept?.key === key ? kept.value : null, ask: () => void askLetter(key) };
}

/** The message that asks the lifter for what is missing; undefined until it is known, null where nothing is. */
export function useMessage(after: boolean): string | null | undefined {
  const key = useDesk(({ review }) => letterKey(review!.now));
  const hasClip = useDesk(({ review }) => review!.now.today !== null);
  const kept = useKept(({ message }) => message);
  useEffect(() => {
    if (after && hasClip && useKept.getState().message?.key !== key) askMessage(key).catch(tell);
  }, [key, hasClip, after]);
  return kept?.key === key ? kept.value : undefined;
}

/** Writes over a text of what goes back; null takes the proposed words again, empty leaves it out. */
export const writeOver = (key: string, text: string | null, label = 'Write over what goes back'): void =>
  change(label, ({ coaching: { handBack } }) => {
    if (text === null) delete handBack.said[key];
    else handBack.said[key] = text;
  });
