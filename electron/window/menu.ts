import type { MenuItemConstructorOptions } from 'electron';
import type { MenuItem, MenuList } from '../../shared-lib/contract/menu.ts';

const keyNames: Record<string, string> = {
  ArrowLeft: 'Left',
  ArrowRight: 'Right',
  ArrowUp: 'Up',
  ArrowDown: 'Down',
  ' ': 'Space',
  '+': 'Plus',
};

/** A key of the page as Electron's menus write it; null where they have no name for it. */
export function acceleratorOf(key: string): string | null {
  const [, held, last] = /^((?:Ctrl\+|Alt\+|Shift\+)*)(.+)$/.exec(key)!;
  const name =
    keyNames[last] ?? (/^[\x21-\x7e]$/.test(last) || /^[A-Z][a-zA-Z0-9]+$/.test(last) ? last : null);
  if (name === null) return null;
  return held.replace('Ctrl', 'CommandOrControl') + (name.length === 1 ? name.toUpperCase() : name);
}

/**
 * The window's menu: what every program has, what the page says can be done there, and the log. Keys are shown only: the
 * page answers them, which knows when somebody types.
 */
export function menuOf(
  name: string,
  list: MenuList,
  { choose, openLog }: { choose: (label: string) => void; openLog: () => void },
): MenuItemConstructorOptions[] {
  const itemOf = ({ label, key, enabled, chosen }: MenuItem): MenuItemConstructorOptions => ({
    label,
    enabled,
    ...(chosen === null ? {} : { type: 'radio', checked: chosen }),
    ...acceleratorPart(key),
    click: () => choose(label),
  });
  return [
    ...(process.platform === 'darwin' ? [{ role: 'appMenu', label: name } as const] : []),
    { role: 'fileMenu' },
    {
      label: 'Edit',
      submenu: (['cut', 'copy', 'paste', 'selectAll'] as const).map((role) => ({ role })),
    },
    ...list.map(({ name: part, items }) => ({ label: part, submenu: items.map(itemOf) })),
    {
      label: 'View',
      submenu: [
        ...(['zoomIn', 'zoomOut', 'resetZoom'] as const).map((role) => ({ role })),
        { role: 'togglefullscreen' },
      ],
    },
    { role: 'windowMenu' },
    { role: 'help', submenu: [{ label: 'Open the folder of the log', click: openLog }] },
  ];
}

function acceleratorPart(
  key: string | null,
): Pick<MenuItemConstructorOptions, 'accelerator' | 'registerAccelerator'> {
  const accelerator = key === null ? null : acceleratorOf(key);
  return accelerator === null ? {} : { accelerator, registerAccelerator: false };
}
