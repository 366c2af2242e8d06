import { eventSchema, type DeskEvent } from '../../shared-lib/contract/desk.ts';
import { clipRefSchema } from '../../shared-lib/contract/review.ts';
import { DeskFailure, type Transport } from './bridge.ts';

const gone = (): DeskFailure =>
  new DeskFailure(
    'fault',
    'Lockstep no longer answers.',
    'It was closed or stopped: start it again and open the address it prints. Your review is kept.',
  );

const post = async (address: string, body: unknown): Promise<unknown> => {
  const response = await fetch(address, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  }).catch(() => null);
  if (!response?.ok) throw gone();
  return response.json();
};

/** The app served on this machine: commands by POST, progress as server-sent events. */
export function loopbackTransport(): Transport {
  const listeners = new Set<(event: DeskEvent) => void>();
  const source = new EventSource('/events');
  source.onmessage = ({ data }: MessageEvent<string>) => {
    const event = eventSchema.safeParse(JSON.parse(data));
    if (event.success) for (const listener of listeners) listener(event.data);
  };
  return {
    call: (message) => post('/call', message),
    stop: (job) => void post('/stop', { job }).catch(() => undefined),
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    sendClip: (file, onProgress, signal) =>
      new Promise((resolve, reject) => {
        // fetch tells nothing of an upload under way.
        const request = new XMLHttpRequest();
        request.open('POST', `/clips?name=${encodeURIComponent(file.name)}`);
        request.setRequestHeader('content-type', 'application/octet-stream');
        request.responseType = 'json';
        request.upload.onprogress = (event) => onProgress(event.loaded / Math.max(1, event.total));
        request.onload = () => {
          const body = request.response as { kind?: string; what?: string; advice?: string } | null;
          if (request.status === 200) resolve(clipRefSchema.parse(body));
          else
            reject(body?.what ? new DeskFailure(body.kind ?? 'fault', body.what, body.advice ?? '') : gone());
        };
        request.onerror = () => reject(gone());
        request.onabort = () =>
          reject(new DeskFailure('stopped', 'Stopped.', 'Bring it in again when you like.'));
        signal.addEventListener('abort', () => request.abort(), { once: true });
        request.send(file);
      }),
    async sendLifter(file, signal) {
      const response = await fetch('/lifters', {
        method: 'POST',
        headers: { 'content-type': 'application/octet-stream' },
        body: file,
        signal,
      }).catch(() => null);
      if (!response) throw gone();
      const body = (await response.json()) as { kind?: string; what?: string; advice?: string };
      if (response.ok) return body;
      throw body.what ? new DeskFailure(body.kind ?? 'fault', body.what, body.advice ?? '') : gone();
    },
    handedBackUrl: (id, name) => `/hand-back/${id}/${name}`,
    stillUrl: (sha256, frame, widthPx) =>
      `/still/${sha256}/${frame}${widthPx === null ? '' : `?width=${widthPx}`}`,
  };
}
