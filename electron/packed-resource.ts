import { existsSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * Where something lies that an installer put beside the program's archive: programs like ffmpeg read no archives.
 *
 * @param resources the packed program's folder of resources; Electron tells it
 * @returns null where the program runs from its source tree
 */
export function packedResource(
  name: string,
  resources = (process as { resourcesPath?: string }).resourcesPath,
): string | null {
  if (resources === undefined) return null;
  const file = path.join(resources, ...name.split('/'));
  return existsSync(file) ? file : null;
}

/** Folder of the demo's clips. */
export const demoFolder = (): string =>
  packedResource('demo-data') ?? fileURLToPath(new URL('../demo-data', import.meta.url));
