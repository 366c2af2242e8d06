import { useRef, useState } from 'react';

/** A value while it is being moved: shown at once, kept when the move is over; `keep` changes it at once. */
export function useDraft<T>(
  value: T,
  keep: (value: T) => void,
): { shown: T; move: (next: T) => void; done: () => void } {
  const [draft, setDraft] = useState<{ next: T; of: T } | null>(null);
  const latest = useRef<T | null>(null);
  // What changed meanwhile counts for more than the draft.
  const shown = draft && JSON.stringify(draft.of) === JSON.stringify(value) ? draft.next : value;
  return {
    shown,
    move: (next) => {
      latest.current = next;
      setDraft({ next, of: value });
    },
    done: () => {
      const next = latest.current;
      latest.current = null;
      setDraft(null);
      if (next !== null) keep(next);
    },
  };
}
