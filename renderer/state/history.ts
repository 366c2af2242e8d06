import { applyPatches, enablePatches, produceWithPatches, type Patch } from 'immer';

enablePatches();

/** One thing the user did, and how to take it back. */
interface Entry {
  label: string;
  forth: Patch[];
  back: Patch[];
  /** The spell of typing that it belongs to. */
  spell: number | null;
}

/** A document with everything that was done to it, in order. Values only: each operation gives a new one. */
export interface History<T> {
  now: T;
  done: readonly Entry[];
  undone: readonly Entry[];
}

/** Older steps than this are forgotten. */
const mostSteps = 500;

export const historyOf = <T>(now: T): History<T> => ({ now, done: [], undone: [] });

/**
 * Does something under a label; nothing happens where the recipe changes nothing.
 *
 * @param spell letters typed into one field in one spell are one step, each sentence for itself
 */
export function act<T extends object>(
  history: History<T>,
  label: string,
  recipe: (draft: T) => void,
  spell: number | null = null,
): History<T> {
  const [now, forth, back] = produceWithPatches(history.now, (draft) => recipe(draft as T));
  if (forth.length === 0) return history;
  const entry = { label, forth, back, spell };
  const last = history.done.at(-1);
  const done = last && typedOn(last, entry) ? history.done.slice(0, -1) : history.done;
  const step = done === history.done ? entry : { ...last!, forth: [...last!.forth, ...forth] };
  return { now, done: [...done, step].slice(-mostSteps), undone: [] };
}

/** Whether one step goes on with what the last one wrote: the same field, in the same spell and sentence. */
function typedOn(last: Entry, next: Entry): boolean {
  const [before, after] = [last.forth.at(-1)!, next.forth[0]];
  return (
    next.spell !== null &&
    last.spell === next.spell &&
    last.label === next.label &&
    next.forth.length === 1 &&
    before.path.join('/') === after.path.join('/') &&
    [before, after].every(({ op, value }) => op !== 'remove' && isWritten(value)) &&
    !/[.!?]\s+$|\n$/.test(String(before.value))
  );
}

const isWritten = (value: unknown): boolean =>
  value === null || typeof value === 'string' || typeof value === 'number';

/** Changes the document without a step to take back: where the coach looks is no deed. */
export function move<T extends object>(history: History<T>, recipe: (draft: T) => void): History<T> {
  const [now] = produceWithPatches(history.now, (draft) => recipe(draft as T));
  return { ...history, now };
}

export function undo<T extends object>(history: History<T>): History<T> {
  const last = history.done.at(-1);
  if (!last) return history;
  return {
    now: applyPatches(history.now, last.back),
    done: history.done.slice(0, -1),
    undone: [...history.undone, last],
  };
}

export function redo<T extends object>(history: History<T>): History<T> {
  const next = history.undone.at(-1);
  if (!next) return history;
  return {
    now: applyPatches(history.now, next.forth),
    done: [...history.done, next],
    undone: history.undone.slice(0, -1),
  };
}
