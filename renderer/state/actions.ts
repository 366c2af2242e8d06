import type { Step } from '../../shared-lib/contract/review.ts';
import { doAgain, look, takeBack, useDesk } from './store.ts';

/** One thing the user can do: a table of them feeds keys, help and menus. */
export interface Action {
  /** What it does, as help says it. */
  label: string;
  /** Keys as `KeyboardEvent.key` says them, with `Ctrl+` and `Shift+` before where needed. */
  keys: readonly string[];
  /** Where it works; null everywhere. */
  step: Step | null;
  enabled?: () => boolean;
  perform: () => void;
}

const goTo = (step: Step): void => look((review) => void (review.place.step = step));
const hasReview = (): boolean => useDesk.getState().review !== null;

export const everywhere: readonly Action[] = [
  {
    label: 'Take back',
    keys: ['Ctrl+z'],
    step: null,
    enabled: () => (useDesk.getState().review?.done.length ?? 0) > 0,
    perform: takeBack,
  },
  {
    label: 'Do again',
    keys: ['Ctrl+Shift+z', 'Ctrl+y'],
    step: null,
    enabled: () => (useDesk.getState().review?.undone.length ?? 0) > 0,
    perform: doAgain,
  },
  {
    label: 'Go to Bring in',
    keys: ['Alt+1'],
    step: null,
    enabled: hasReview,
    perform: () => goTo('Bring in'),
  },
  { label: 'Go to Set up', keys: ['Alt+2'], step: null, enabled: hasReview, perform: () => goTo('Set up') },
  { label: 'Go to Follow', keys: ['Alt+3'], step: null, enabled: hasReview, perform: () => goTo('Follow') },
  { label: 'Go to Line up', keys: ['Alt+4'], step: null, enabled: hasReview, perform: () => goTo('Line up') },
  {
    label: 'Go to Hand back',
    keys: ['Alt+5'],
    step: null,
    enabled: hasReview,
    perform: () => goTo('Hand back'),
  },
];

const local = new Set<Action>();
const listeners = new Set<() => void>();

/** Adds a screen's own actions while it is shown. */
export function offer(actions: readonly Action[]): () => void {
  const tell = (): void => listeners.forEach((listener) => listener());
  actions.forEach((action) => local.add(action));
  tell();
  return () => {
    actions.forEach((action) => local.delete(action));
    tell();
  };
}

/** Hears that other things can be done now. @returns how to stop */
export function hearOffers(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export const allActions = (): Action[] => [...local, ...everywhere];

export const keyOf = (event: KeyboardEvent): string =>
  [
    event.ctrlKey || event.metaKey ? 'Ctrl+' : '',
    event.altKey ? 'Alt+' : '',
    event.shiftKey && event.key.length > 1 ? 'Shift+' : event.shiftKey && event.ctrlKey ? 'Shift+' : '',
    event.key.length === 1 ? event.key.toLowerCase() : event.key,
  ].join('');
