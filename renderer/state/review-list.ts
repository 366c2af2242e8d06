import { create } from 'zustand';
import type { ReviewSummary } from '../../shared-lib/contract/review.ts';
import { bridge, listReviews, tell } from './store.ts';

/** What was done to the list last, and how to take it back. */
export const useListDeed = create<{ deed: { says: string; back: () => Promise<unknown> } | null }>(() => ({
  deed: null,
}));
const { getState: get, setState: set } = useListDeed;

const nameOf = ({ title }: ReviewSummary): string => (title === '' ? 'The unnamed review' : `“${title}”`);

async function doIt(
  says: string,
  forth: () => Promise<unknown>,
  back: () => Promise<unknown>,
): Promise<void> {
  try {
    await forth();
    set({ deed: { says, back } });
  } catch (error) {
    tell(error);
  }
  await listReviews();
}

/** Puts a review out of the list; its folder stays under `removed/`. */
export const removeReview = (review: ReviewSummary): Promise<void> =>
  doIt(
    `${nameOf(review)} was removed.`,
    () => bridge.call('removeReview', { id: review.id }),
    () => bridge.call('bringBackReview', { id: review.id }),
  );

export const renameReview = (review: ReviewSummary, title: string): Promise<void> =>
  doIt(
    `${nameOf(review)} is called “${title}” now.`,
    () => rename(review.id, title),
    () => rename(review.id, review.title),
  );

async function rename(id: string, title: string): Promise<void> {
  const review = await bridge.call('openReview', { id });
  await bridge.call('keepReview', { review: { ...review, title } });
}

export async function takeBackDeed(): Promise<void> {
  const { deed } = get();
  if (!deed) return;
  set({ deed: null });
  try {
    await deed.back();
  } catch (error) {
    tell(error);
  }
  await listReviews();
}

export const forgetDeed = (): void => set({ deed: null });
