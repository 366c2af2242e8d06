import type { BrowserWindowConstructorOptions } from 'electron';

/** The scheme that serves the screens and the pictures: nothing else can be reached through it. */
export const scheme = 'app';
export const origin = `${scheme}://lockstep`;

/** A page that can do nothing but what the bridge offers. */
export function windowOptions(preload: string): BrowserWindowConstructorOptions {
  return {
    width: 1440,
    height: 900,
    minWidth: 900,
    minHeight: 620,
    show: false,
    title: 'Lockstep',
    webPreferences: {
      preload,
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webviewTag: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      navigateOnDragDrop: false,
      spellcheck: false,
    },
  };
}
