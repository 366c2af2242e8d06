import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import { scoreClip, type ClipScore } from '../score-clip.ts';
import { groupsOf, type BenchScene } from './scenes.ts';

/** One scene measured, or why it could not be. */
export interface SceneResult {
  name: string;
  clip: string;
  conditions: string[];
  groups: string[];
  score: ClipScore | null;
  error: string | null;
}

async function scored(scene: BenchScene, cache: string): Promise<SceneResult> {
  const { clip, truth } = await cachedClip(scene.name, scene.spec, cache);
  const common = { name: scene.name, clip, conditions: scene.conditions, groups: groupsOf(scene, truth) };
  try {
    return { ...common, score: await scoreClip(clip, truth), error: null };
  } catch (error) {
    return { ...common, score: null, error: (error as Error).message.split('\n')[0] };
  }
}

/** Measures the scenes that the parent sends, one at a time, until it disconnects. */
process.on('message', ({ scene, cache }: { scene: BenchScene; cache: string }) => {
  scored(scene, cache).then(
    (result) => process.send?.({ result }),
    (error: unknown) => process.send?.({ failed: String(error) }),
  );
});
