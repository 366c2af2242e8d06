import { fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { KeptResults } from './kept-results.ts';
import type { BenchScene } from './scenes.ts';
import type { SceneResult } from './score-worker.ts';

const worker = fileURLToPath(new URL('./score-worker.ts', import.meta.url));

/**
 * Measures all scenes in `jobs` processes of their own; results come in the scenes' order at the end, each told when done.
 * What is in `kept` is not measured again, and what is measured is added to it.
 */
export async function measureScenes(
  scenes: readonly BenchScene[],
  cache: string,
  jobs: number,
  onResult: (result: SceneResult) => void,
  kept?: KeptResults,
): Promise<SceneResult[]> {
  const results: SceneResult[] = [];
  const missing = scenes.flatMap((scene, at) => {
    const before = kept?.of(scene);
    if (!before) return [at];
    results[at] = before;
    onResult(before);
    return [];
  });
  const runOne = async (): Promise<void> => {
    const child = fork(worker, { serialization: 'advanced' });
    const gone = once(child, 'exit').then(([code, signal]: unknown[]) => {
      throw new Error(`A measuring process ended (${String(code ?? signal)}).`);
    });
    gone.catch(() => undefined);
    try {
      for (let at = missing.shift(); at !== undefined; at = missing.shift()) {
        child.send({ scene: scenes[at], cache });
        const [reply] = (await Promise.race([once(child, 'message'), gone])) as [
          { result?: SceneResult; failed?: string },
        ];
        if (!reply.result) throw new Error(`${scenes[at].name}: ${reply.failed}`);
        results[at] = reply.result;
        await kept?.add(reply.result);
        onResult(reply.result);
      }
    } finally {
      child.disconnect();
    }
  };
  await Promise.all(Array.from({ length: Math.min(jobs, missing.length) }, runOne));
  return results;
}
