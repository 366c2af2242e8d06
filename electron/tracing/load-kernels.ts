import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { usePatchKernel } from '../../shared-lib/picture/patch-registration.ts';

/** Beside this file as built; in dist, where it was built, while developing. */
const places = ['./kernels.wasm', '../../dist/kernels.wasm'].map((place) => new URL(place, import.meta.url));
let isLoaded = false;

/** Has hot loops run as compiled code on this thread from now on; where nothing is built the plain code does the same. */
export function loadKernels(): void {
  if (isLoaded) return;
  isLoaded = true;
  const file = places.map((place) => fileURLToPath(place)).find((place) => existsSync(place));
  if (file === undefined) return;
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(readFileSync(file)));
  usePatchKernel(exports);
}
