import { parentPort } from 'node:worker_threads';
import type { ContainerFacts } from './container-facts.ts';
import { readWithMediabunny } from './probe-mediabunny.ts';

export interface ContainerAnswer {
  file: string;
  facts: ContainerFacts | null;
}

const port = parentPort;
if (!port) throw new Error('The container worker runs as a worker thread only.');
port.on('message', (file: string) => {
  void readWithMediabunny(file).then((facts) => {
    port.postMessage({ file, facts } satisfies ContainerAnswer);
  });
});
