import type { MenuItem } from '../../shared-lib/contract/menu.ts';
import { allActions, hearOffers, type Action } from './actions.ts';
import { useDesk } from './store.ts';
import { setTheme, themes, useTheme, type Theme } from './theme.ts';

export interface MenuEntry extends MenuItem {
  perform: () => void;
}
export interface MenuPart {
  name: string;
  items: MenuEntry[];
}

const themeWords: Record<Theme, string> = {
  system: 'As the system',
  light: 'Light',
  dark: 'Dark',
};

const entryOf = ({ label, keys, enabled, perform }: Action): MenuEntry => ({
  label,
  key: keys[0] ?? null,
  enabled: enabled?.() ?? true,
  chosen: null,
  perform,
});

/** Everything that can be done where the user is, with its key; and how the screens look. */
export function menuList(): MenuPart[] {
  const all = allActions();
  const here = all.filter(({ step }) => step !== null);
  const { theme } = useTheme.getState();
  return [
    ...(here.length > 0 ? [{ name: here[0].step ?? '', items: here.map(entryOf) }] : []),
    { name: 'Everywhere', items: all.filter(({ step }) => step === null).map(entryOf) },
    {
      name: 'Appearance',
      items: themes.map((each) => ({
        label: themeWords[each],
        key: null,
        enabled: true,
        chosen: each === theme,
        perform: () => setTheme(each),
      })),
    },
  ];
}

/** Keeps the window's own menu the same as the page's. @returns how to stop */
export function mirrorMenu(shell: NonNullable<Window['lockstep']>): () => void {
  let told = '';
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const tell = (): void => {
    waiting ??= setTimeout(() => {
      waiting = undefined;
      const list = menuList().map(({ name, items }) => ({
        name,
        items: items.map(({ label, key, enabled, chosen }) => ({ label, key, enabled, chosen })),
      }));
      const text = JSON.stringify(list);
      if (text !== told) shell.showMenu(list);
      told = text;
    }, 50);
  };
  const stops = [
    hearOffers(tell),
    useDesk.subscribe(tell),
    useTheme.subscribe(tell),
    shell.onChosen((label) => {
      const entry = menuList()
        .flatMap(({ items }) => items)
        .find((each) => each.label === label && each.enabled);
      entry?.perform();
    }),
  ];
  tell();
  return () => {
    clearTimeout(waiting);
    stops.forEach((stop) => stop());
  };
}
