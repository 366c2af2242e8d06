import { create } from 'zustand';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { Handle, WishedPath } from '../../shared-lib/contract/coaching.ts';
import type { Review, SideName } from '../../shared-lib/contract/review.ts';
import { bridge, change, compareAgain, run, tell, useDesk } from './store.ts';

interface Coaching {
  /** What was asked for, by what it depends on, so that nothing stale is shown. */
  usual: { key: string; value: OutputOf<'usual'> } | null;
  wished: { key: string; value: OutputOf<'wished'> } | null;
  earlier: { key: string; value: OutputOf<'earlierCues'> } | null;
  library: OutputOf<'cueLibrary'>;
}

export const useCoaching = create<Coaching>(() => ({
  usual: null,
  wished: null,
  earlier: null,
  library: [],
}));

const sidesOf = ({ id, lift, lifterId, reference, today }: Review): unknown[] => [
  id,
  lift,
  lifterId,
  reference,
  today,
];
export const usualKey = (review: Review): string => JSON.stringify(sidesOf(review));
export const wishedKey = (review: Review): string =>
  JSON.stringify([sidesOf(review), review.coaching.wishedPath]);
export const earlierKey = (review: Review): string =>
  JSON.stringify([sidesOf(review), review.coaching.seenAgain]);

const now = (): Review | null => useDesk.getState().review?.now ?? null;

/** Asks for something that depends on the review, once it is kept; an answer that came too late is dropped. */
async function ask<T>(
  keyOf: (review: Review) => string,
  label: string,
  call: (id: string, job: { signal: AbortSignal; onProgress: (share: number) => void }) => Promise<T>,
): Promise<{ key: string; value: T } | null> {
  const review = now();
  if (!review?.today) return null;
  const key = keyOf(review);
  const value = await run(label, (job) => call(review.id, job));
  const after = now();
  return value !== null && after && keyOf(after) === key ? { key, value } : null;
}

export async function askUsual(): Promise<void> {
  const usual = await ask(usualKey, 'Measuring what is usual for the lifter', (id, job) =>
    bridge.call('usual', { id }, job),
  );
  if (usual) useCoaching.setState({ usual });
}

export async function askWished(): Promise<void> {
  const wished = await ask(wishedKey, 'Measuring against the wished path', (id, job) =>
    bridge.call('wished', { id }, job),
  );
  if (wished) useCoaching.setState({ wished });
}

export async function askEarlier(): Promise<void> {
  const earlier = await ask(earlierKey, 'Measuring what earlier cues were about', (id, job) =>
    bridge.call('earlierCues', { id }, job),
  );
  if (earlier) useCoaching.setState({ earlier });
}

export async function askLibrary(): Promise<void> {
  const review = now();
  if (!review) return;
  try {
    useCoaching.setState({ library: await bridge.call('cueLibrary', { lift: review.lift }) });
  } catch (error) {
    tell(error);
  }
}

/** Marks reps of a side as usual for the lifter, or takes the marks away; the calls follow. */
export async function markUsual(side: SideName, reps: readonly number[], usual: boolean): Promise<void> {
  const review = now();
  if (!review) return;
  const done = await run(usual ? 'Marking as usual' : 'Taking the mark away', (job) =>
    bridge.call('markUsual', { id: review.id, side, reps: [...reps], usual }, job),
  );
  if (!done) return;
  useCoaching.setState({ usual: null });
  await askUsual();
  await compareAgain();
}

export const setWished = (label: string, recipe: (path: WishedPath) => WishedPath | null): void =>
  change(label, (review) => {
    review.coaching.wishedPath = recipe(review.coaching.wishedPath ?? { down: [], up: [] });
  });

export const moveHandle = (way: 'down' | 'up', index: number, to: Handle): void =>
  setWished('Bend the wished path', (path) => ({
    ...path,
    [way]: path[way].map((handle, i) => (i === index ? to : handle)),
  }));

/** A short name that nothing else in the review has. */
export const freshName = (taken: readonly { id: string }[]): string => {
  let n = taken.length + 1;
  while (taken.some(({ id }) => id === `n${n}`)) n++;
  return `n${n}`;
};
