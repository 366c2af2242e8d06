import { clipKey } from '../../../demo-data/suite/cached-clip.ts';
import { keptLines } from '../kept-results.ts';
import { fromJson } from './compare.ts';
import type { BenchScene } from './scenes.ts';
import type { SceneResult } from './score-worker.ts';

/** Scenes' results in a file, one a line as each is finished, so that a run that was cut short goes on where it was. */
export interface KeptResults {
  /** By the key of the clip, which changes with its film. */
  of: (scene: BenchScene) => SceneResult | undefined;
  add: (result: SceneResult) => Promise<void>;
}

const keyOfClip = (clip: string): string => clip.replace(/^.*[\\/]/, '').replace(/\.mp4$/, '');

export async function keptResults(file: string): Promise<KeptResults> {
  const { lines, add } = await keptLines(file);
  const kept = new Map(fromJson(`[${lines.join(',')}]`).map((r) => [keyOfClip(r.clip), r]));
  return {
    of: ({ name, spec }) => kept.get(clipKey(name, spec)),
    add: (result) => add(JSON.stringify(result)),
  };
}
