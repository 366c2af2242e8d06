import { shell, type MenuItemConstructorOptions } from 'electron';

/** The window's menu: what every program has, and the log. */
export const menuOf = (name: string, logFolder: string): MenuItemConstructorOptions[] => [
  ...(process.platform === 'darwin' ? [{ role: 'appMenu', label: name } as const] : []),
  { role: 'fileMenu' },
  { role: 'editMenu' },
  {
    label: 'View',
    submenu: [
      ...(['zoomIn', 'zoomOut', 'resetZoom'] as const).map((role) => ({ role })),
      { role: 'togglefullscreen' },
    ],
  },
  { role: 'windowMenu' },
  {
    role: 'help',
    submenu: [{ label: 'Open the folder of the log', click: () => void shell.openPath(logFolder) }],
  },
];
