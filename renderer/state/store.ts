import { create } from 'zustand';
import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import type { TracedPoints } from '../../shared-lib/contract/desk.ts';
import type { Review, ReviewSummary, SideName } from '../../shared-lib/contract/review.ts';
import { Bridge, DeskFailure, type LostClip } from '../bridge/bridge.ts';
import { transportHere } from '../bridge/window.ts';
import { act, historyOf, move, redo, undo, type History } from './history.ts';

export const bridge = new Bridge(transportHere());

/** Something under way that can be stopped. */
export interface Job {
  label: string;
  share: number;
  stop: () => void;
}

export interface Trouble {
  what: string;
  advice: string;
  /** Asked for in a dialog of its own. */
  lost?: LostClip;
}

interface Desk {
  reviews: readonly ReviewSummary[] | null;
  review: History<Review> | null;
  /** Whether what is seen is also on disk. */
  kept: 'kept' | 'keeping' | 'not kept';
  job: Job | null;
  trouble: Trouble | null;
  /** The pair as compared last, with what the comparison depended on. */
  lineUp: { key: string; value: LineUp } | null;
  /** The bar's ways so far, while the two are being followed. */
  growing: Partial<Record<SideName, TracedPoints>>;
  /** How often a clip was found again. */
  clipsBack: number;
}

export const useDesk = create<Desk>(() => ({
  reviews: null,
  review: null,
  kept: 'kept',
  job: null,
  trouble: null,
  lineUp: null,
  growing: {},
  clipsBack: 0,
}));
const { getState: get, setState: set } = useDesk;

/** Shows a failure in words; what the user stopped is none. */
export function tell(error: unknown): void {
  if (error instanceof DeskFailure) {
    const { kind, what, advice, lost } = error;
    if (kind !== 'stopped') set({ trouble: { what, advice, ...(lost ? { lost } : {}) } });
  } else {
    const what = error instanceof Error ? error.message : String(error);
    set({ trouble: { what: `Lockstep failed: ${what}`, advice: 'Please report it with these words.' } });
  }
}

export const dismissTrouble = (): void => set({ trouble: null });

/** A clip that was lost is there again: what is shown asks anew for what it could not have. */
export const clipIsBack = (): void => set(({ clipsBack }) => ({ trouble: null, clipsBack: clipsBack + 1 }));

/**
 * Runs something long on what is kept, with its progress shown; one at a time. It is shown from the moment it is asked
 * for: what it takes out of use must not go from under a finger once the review has been kept.
 */
export async function run<T>(
  label: string,
  work: (job: { signal: AbortSignal; onProgress: (share: number) => void }) => Promise<T>,
): Promise<T | null> {
  const stop = new AbortController();
  const job: Job = { label, share: 0, stop: () => stop.abort() };
  set({ job, trouble: null });
  try {
    await keepNow();
    return await work({
      signal: stop.signal,
      onProgress: (share) => get().job?.stop === job.stop && set({ job: { ...job, share } }),
    });
  } catch (error) {
    tell(error);
    return null;
  } finally {
    if (get().job?.stop === job.stop) set({ job: null });
  }
}

// ---- reviews ----

export async function listReviews(): Promise<void> {
  try {
    set({ reviews: await bridge.call('listReviews', {}) });
  } catch (error) {
    tell(error);
  }
}

export async function openReview(id: string): Promise<void> {
  try {
    show(await bridge.call('openReview', { id }));
  } catch (error) {
    tell(error);
  }
}

export async function startReview(): Promise<void> {
  try {
    show(await bridge.call('startReview', {}));
  } catch (error) {
    tell(error);
  }
}

function show(review: Review): void {
  set({ review: historyOf(review), kept: 'kept', lineUp: null, trouble: null });
  window.history.replaceState(null, '', `#${review.id}`);
}

export async function closeReview(): Promise<void> {
  await keepNow();
  set({ review: null, lineUp: null });
  window.history.replaceState(null, '', '#');
  await listReviews();
}

/** Who stops writing this long, or leaves a field, has ended a spell of typing, milliseconds; common practice. */
const pauseMs = 1500;
let spell = 0;
let pause: ReturnType<typeof setTimeout> | undefined;

/** What is typed from now on is a step of its own to take back. */
export const endSpell = (): void => void (spell += 1);

/** Does something to the review, under the label that undo will show. */
export function change(label: string, recipe: (draft: Review) => void): void {
  update((history) => act(history, label, recipe, spell));
  clearTimeout(pause);
  pause = setTimeout(endSpell, pauseMs);
}

/** Moves within the review: kept, but nothing to undo. */
export const look = (recipe: (draft: Review) => void): void => update((history) => move(history, recipe));
export const takeBack = (): void => update(undo);
export const doAgain = (): void => update(redo);

function update(step: (history: History<Review>) => History<Review>): void {
  const { review } = get();
  if (!review) return;
  const next = step(review);
  if (next.now === review.now) return;
  set({ review: next });
  keepSoon();
}

/** What is done is kept this long after, seconds at most; a crash loses no more. */
const keepAfterMs = 400;
let timer: ReturnType<typeof setTimeout> | undefined;
let keeping: Promise<void> = Promise.resolve();

function keepSoon(): void {
  set({ kept: 'keeping' });
  // One that is pending stays: steady typing must not put the save off.
  timer ??= setTimeout(() => void keepNow(), keepAfterMs);
}

/** Keeps the review as it is now; saves wait for one another. */
export function keepNow(): Promise<void> {
  clearTimeout(timer);
  timer = undefined;
  keeping = keeping.then(async () => {
    const { review, kept } = get();
    if (!review || kept === 'kept') return;
    const sent = review.now;
    try {
      const { revision, stale } = await bridge.call('keepReview', { review: sent });
      if (stale) {
        set({
          kept: 'not kept',
          trouble: {
            what: 'This review was changed in another window since you opened it here.',
            advice: 'Close one of the two; opening it again shows what was kept last.',
          },
        });
        return;
      }
      update((history) => move(history, (draft) => void (draft.revision = revision)));
      clearTimeout(timer);
      timer = undefined;
      if (get().review && sameButRevision(get().review!.now, sent)) set({ kept: 'kept' });
      else keepSoon();
    } catch (error) {
      set({ kept: 'not kept' });
      tell(error);
    }
  });
  return keeping;
}

const sameButRevision = (a: Review, b: Review): boolean =>
  (Object.keys(a) as (keyof Review)[]).every((key) => key === 'revision' || a[key] === b[key]);

// ---- measuring ----

/** What the comparison depends on: when it changes, what was measured is out of date. */
export const comparisonKey = ({ reference, today, lift, sameCamera, lifterId }: Review): string =>
  JSON.stringify([reference, today, lift, sameCamera, lifterId], (key, value: unknown) =>
    // Marks on the body change nothing of the bar.
    key === 'body' || key === 'points' ? undefined : value,
  );

/** Compares anew where something outside the review changed what is known of the lifter; what is shown stays until then. */
export const compareAgain = (): Promise<void> => compare(true);

export async function compare(again = false): Promise<void> {
  const { review, lineUp } = get();
  if (!review) return;
  const key = comparisonKey(review.now);
  if (!again && lineUp?.key === key) return;
  const { id } = review.now;
  set({ growing: {} });
  const onTraced = (points: TracedPoints, side: SideName | null): void =>
    set(({ growing }) => ({ growing: side ? { ...growing, [side]: points } : growing }));
  const value = await run('Following the bar in both clips', (job) =>
    bridge.call('compare', { id }, { ...job, onTraced }),
  );
  if (value && get().review?.now.id === id) set({ lineUp: { key, value } });
}
