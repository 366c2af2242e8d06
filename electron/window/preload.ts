import { contextBridge, ipcRenderer, webUtils } from 'electron';
import type { WindowBridge } from '../../shared-lib/contract/window-bridge.ts';

/** Hands on what is said, never Electron's own event. */
function hear<T>(channel: string, listener: (said: T) => void): () => void {
  const heard = (_: unknown, said: T): void => listener(said);
  ipcRenderer.on(channel, heard);
  return () => ipcRenderer.off(channel, heard);
}

const bridge: WindowBridge = {
  call: (message) => ipcRenderer.invoke('call', message),
  stop: (job) => ipcRenderer.send('stop', job),
  listen: (listener) => hear('event', listener),
  place: (message) => ipcRenderer.invoke('place', message),
  showMenu: (list) => ipcRenderer.send('menu', list),
  onChosen: (listener) => hear('chosen', listener),
  pathOf: (file) => webUtils.getPathForFile(file as Parameters<typeof webUtils.getPathForFile>[0]),
};

contextBridge.exposeInMainWorld('lockstep', bridge);
