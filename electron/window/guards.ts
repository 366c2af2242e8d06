import type { IpcMainInvokeEvent, Session, WebContents } from 'electron';
import { origin } from './options.ts';

/** Whether a call comes from the top frame of our own page. */
export function fromOwnPage(event: Pick<IpcMainInvokeEvent, 'senderFrame'>): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame.parent === null && isOwn(frame.url);
}

export function isOwn(address: string): boolean {
  try {
    const { protocol, host } = new URL(address);
    return `${protocol}//${host}` === origin;
  } catch {
    return false;
  }
}

/** No permission is ever given, asked for or checked: the screens need none. */
export function denyPermissions(
  session: Pick<
    Session,
    'setPermissionRequestHandler' | 'setPermissionCheckHandler' | 'setDevicePermissionHandler'
  >,
): void {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
}

/** The session reaches our own scheme and what a page holds in itself, never the network. */
export function shutOffNetwork(session: Pick<Session, 'webRequest'>): void {
  session.webRequest.onBeforeRequest((details, answer) => answer({ cancel: !staysInside(details.url) }));
}

export function staysInside(address: string): boolean {
  return isOwn(address) || /^(blob:app:\/\/lockstep\/|data:|devtools:)/.test(address);
}

/** The page stays where it is: no other page, no second window, nothing embedded. */
export function keepToOwnPage(contents: Pick<WebContents, 'on' | 'setWindowOpenHandler'>): void {
  const stay = (event: { preventDefault: () => void }, address: string): void => {
    if (!isOwn(address)) event.preventDefault();
  };
  contents.on('will-navigate', (event) => stay(event, event.url));
  contents.on('will-redirect', (event) => stay(event, event.url));
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}
