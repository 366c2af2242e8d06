import { create } from 'zustand';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { lifterSchema, type Lifter, type LifterSummary } from '../../shared-lib/contract/lifter.ts';
import { bridge, listReviews, run, tell } from './store.ts';

interface Lifters {
  list: readonly LifterSummary[] | null;
  /** The lifter whose page is open. */
  open: Lifter | null;
  /** The list or a lifter's page is shown instead of the reviews. */
  shown: boolean;
  weeks: { key: string; value: OutputOf<'overWeeks'> } | null;
}

export const useLifters = create<Lifters>(() => ({ list: null, open: null, shown: false, weeks: null }));
const { getState: get, setState: set } = useLifters;

export async function listLifters(): Promise<void> {
  try {
    set({ list: await bridge.call('listLifters', {}) });
  } catch (error) {
    tell(error);
  }
}

export async function showLifters(): Promise<void> {
  set({ shown: true, open: null });
  window.history.replaceState(null, '', '#lifters');
  await keeping;
  await Promise.all([listLifters(), listReviews()]);
}

export function leaveLifters(): void {
  set({ shown: false, open: null });
  window.history.replaceState(null, '', '#');
}

export async function openLifter(id: string): Promise<void> {
  try {
    await keeping;
    set({ open: await bridge.call('openLifter', { id }), shown: true, weeks: null });
    window.history.replaceState(null, '', `#lifters/${id}`);
    await listReviews();
  } catch (error) {
    tell(error);
  }
}

export async function startLifter(name: string): Promise<Lifter | null> {
  try {
    const lifter = await bridge.call('startLifter', { name });
    await listLifters();
    return lifter;
  } catch (error) {
    tell(error);
    return null;
  }
}

let keeping: Promise<void> = Promise.resolve();
/** Lifters as they were changed last: what was typed last is kept whoever is shown by then. */
const changedLast = new Map<string, Lifter>();

/** Changes the open lifter and keeps it at once. */
export function changeLifter(recipe: (lifter: Lifter) => Lifter): Promise<void> {
  const { open } = get();
  if (!open) return keeping;
  const { id } = open;
  const changed = recipe(open);
  changedLast.set(id, changed);
  set({ open: changed });
  keeping = keeping.then(async () => {
    try {
      const { revision, stale } = await bridge.call('keepLifter', { lifter: changedLast.get(id)! });
      const now = get().open;
      if (stale && now?.id === id) set({ open: await bridge.call('openLifter', { id }) });
      if (stale) return;
      changedLast.set(id, { ...changedLast.get(id)!, revision });
      if (now?.id === id) set({ open: { ...now, revision } });
    } catch (error) {
      tell(error);
    }
  });
  return keeping;
}

export async function askWeeks(lift: Lift): Promise<void> {
  const { open } = get();
  if (!open) return;
  const value = await run('Measuring this lifter’s reviews', (job) =>
    bridge.call('overWeeks', { id: open.id, lift }, job),
  );
  if (value && get().open?.id === open.id) set({ weeks: { key: `${open.id} ${lift}`, value } });
}

export const packLifter = (id: string, withClips: boolean): Promise<OutputOf<'exportLifter'> | null> =>
  run('Packing the lifter', (job) => bridge.call('exportLifter', { id, withClips }, job));

export async function askBelongings(id: string): Promise<OutputOf<'lifterBelongings'> | null> {
  try {
    return await bridge.call('lifterBelongings', { id });
  } catch (error) {
    tell(error);
    return null;
  }
}

/** Deletes a lifter with everything of theirs, and goes back to the others. */
export async function removeLifter(id: string): Promise<void> {
  await keeping;
  const removed = await run('Removing the lifter', (job) => bridge.call('removeLifter', { id }, job));
  if (!removed) return;
  // The list from before is shown until it has been read again.
  set({ list: get().list?.filter((lifter) => lifter.id !== id) ?? null });
  await showLifters();
}

/** Takes a lifter's zip in and opens the lifter. */
export async function bringInLifter(file: File): Promise<void> {
  const answer = await run('Taking the lifter in', ({ signal }) => bridge.transport.sendLifter(file, signal));
  if (answer) await openLifter(lifterSchema.parse(answer).id);
}
