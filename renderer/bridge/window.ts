import { z } from 'zod';
import { answerSchema, eventSchema } from '../../shared-lib/contract/desk.ts';
import type { WindowBridge } from '../../shared-lib/contract/window-bridge.ts';
import { Bridge, outputOf, type Transport } from './bridge.ts';
import { loopbackTransport } from './loopback.ts';

declare global {
  interface Window {
    lockstep?: WindowBridge;
  }
}

/** The app in a window of its own: commands over the preload's bridge, clips by their paths. */
export function windowTransport(shell: WindowBridge): Transport {
  const transport: Transport = {
    call: (message) => shell.call(message),
    stop: (job) => shell.stop(job),
    listen: (listener) =>
      shell.listen((message) => {
        const event = eventSchema.safeParse(message);
        if (event.success) listener(event.data);
      }),
    sendClip: (file, onProgress, signal) =>
      new Bridge(transport).call('bringInFile', { path: shell.pathOf(file) }, { onProgress, signal }),
    sendLifter: (file, signal) =>
      new Bridge(transport).call('importLifter', { path: shell.pathOf(file) }, { signal }),
    handedBackUrl: (id, name) => `/hand-back/${id}/${name}`,
    placeFiles: async (id, names) =>
      z
        .string()
        .nullable()
        .parse(outputOf(answerSchema.parse(await shell.place({ id, names })))),
    stillUrl: (sha256, frame, widthPx) =>
      `/still/${sha256}/${frame}${widthPx === null ? '' : `?width=${widthPx}`}`,
  };
  return transport;
}

/** The transport of the shell that the screens run in. */
export const transportHere = (): Transport =>
  window.lockstep ? windowTransport(window.lockstep) : loopbackTransport();
