import { contextBridge, ipcRenderer, webUtils } from 'electron';
import type { WindowBridge } from '../../shared-lib/contract/window-bridge.ts';

const bridge: WindowBridge = {
  call: (message) => ipcRenderer.invoke('call', message),
  stop: (job) => ipcRenderer.send('stop', job),
  listen: (listener) => {
    const hear = (_: unknown, event: unknown): void => listener(event);
    ipcRenderer.on('event', hear);
    return () => ipcRenderer.off('event', hear);
  },
  place: (message) => ipcRenderer.invoke('place', message),
  pathOf: (file) => webUtils.getPathForFile(file as Parameters<typeof webUtils.getPathForFile>[0]),
};

contextBridge.exposeInMainWorld('lockstep', bridge);
