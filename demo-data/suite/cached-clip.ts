import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readFile, rename, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { renderClip, truthFile } from '../render-clip.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { truthSchema, type Truth } from '../truth/schema.ts';

/** Goes up when the same spec starts to give another film or another truth, so that cached films are made again. */
export const paintersVersion = 6;

/** File name without its ending: the scene's name and a hash of all that decides its film. */
export function clipKey(name: string, spec: SceneSpec): string {
  const hash = createHash('sha256').update(JSON.stringify([paintersVersion, spec]));
  return `${name}-${hash.digest('hex').slice(0, 12)}`;
}

/**
 * The spec's film and truth from `cacheDir`, rendered there when they are not there yet. Several processes may share the
 * folder: a film is made in a folder of its own and moved in whole, the truth last, which says that both are there.
 */
export async function cachedClip(
  name: string,
  spec: SceneSpec,
  cacheDir: string,
  signal?: AbortSignal,
): Promise<{ clip: string; truth: Truth }> {
  const clip = join(cacheDir, `${clipKey(name, spec)}.mp4`);
  const kept = await readFile(truthFile(clip), 'utf8').catch(() => null);
  if (kept !== null) return { clip, truth: truthSchema.parse(JSON.parse(kept)) };
  await mkdir(cacheDir, { recursive: true });
  const own = await mkdtemp(join(cacheDir, '.rendering-'));
  try {
    const made = join(own, basename(clip));
    const truth = await renderClip(spec, made, signal ? { signal } : {});
    await rename(made, clip);
    await rename(truthFile(made), truthFile(clip));
    return { clip, truth };
  } finally {
    await rm(own, { recursive: true, force: true });
  }
}
