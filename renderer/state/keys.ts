import { useEffect } from 'react';
import { allActions, keyOf } from './actions.ts';

const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable ||
    (target.matches('input, textarea, select') && !target.matches('[type=range]')));

/** Runs actions by their keys, except while the user types in a field. */
export function useKeys(): void {
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const key = keyOf(event);
      if (typing(event.target) && !key.startsWith('Ctrl+') && !key.startsWith('Alt+')) return;
      // A field takes back its own typing.
      if (typing(event.target) && /^Ctrl\+(Shift\+)?[zy]$/.test(key)) return;
      // Space and Enter belong to what has the focus.
      if (event.target instanceof HTMLElement && event.target.closest('button, a, summary, [role=radio]')) {
        if (event.key === ' ' || event.key === 'Enter') return;
      }
      const action = allActions().find(({ keys, enabled }) => keys.includes(key) && (enabled?.() ?? true));
      if (!action) return;
      event.preventDefault();
      action.perform();
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  }, []);
}
