import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Whether this runs as source, while developing: what is being developed must not be mixed with what was built before. */
export const isSource = import.meta.url.endsWith('.ts');

/** Where something lies that the build makes: beside this file as built, in dist while developing; null where nothing is built. */
export function builtFile(name: string): URL | null {
  const places = [`./${name}`, `../dist/${name}`].map((place) => new URL(place, import.meta.url));
  return places.find((place) => existsSync(fileURLToPath(place))) ?? null;
}
