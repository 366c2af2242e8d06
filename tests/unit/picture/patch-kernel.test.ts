import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { execFile } from 'node:child_process';
import { readFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import fc from 'fast-check';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { registerPatch, takePatch, usePatchKernel } from '../../../shared-lib/picture/patch-registration.ts';

const width = 400;
const height = 300;

/** Smooth blobs and a little grain, moved by (dx, dy), brightness changed. */
function picture(dx: number, dy: number, gain: number, bias: number): GreyImage {
  const data = new Uint8Array(width * height);
  for (let y = 0, k = 0; y < height; y++)
    for (let x = 0; x < width; x++, k++) {
      const u = x - dx;
      const v = y - dy;
      const level = 40 * Math.sin(u / 7 + Math.cos(v / 11)) + 35 * Math.cos(v / 6 - u / 17);
      data[k] = Math.min(255, Math.max(0, gain * (120 + level) + bias + ((k * 7919) % 5)));
    }
  return { width, height, data };
}

const unmoved = picture(0, 0, 1, 0);

let folder = '';
let compiled: unknown = null;

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-kernels-'));
  const root = fileURLToPath(new URL('../../..', import.meta.url));
  const outFile = path.join(folder, 'kernels.wasm');
  const options = [
    '-O3',
    '--enable',
    'simd',
    '--enable',
    'threads',
    '--sharedMemory',
    '--maximumMemory',
    '8192',
    '--runtime',
    'stub',
    '--noAssert',
  ];
  const source = path.join(root, 'kernels/patch.ts');
  // As a program: the types of the compiler's module change those of every array.
  const compiler = path.join(root, 'node_modules/assemblyscript/bin/asc.js');
  await promisify(execFile)(process.execPath, [
    compiler,
    source,
    '--outFile',
    outFile,
    '--baseDir',
    root,
    ...options,
  ]);
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(await readFile(outFile)));
  (exports as { memory: { grow(pages: number): void } }).memory.grow(2);
  compiled = exports;
});
/** The picture in the compiled code's own memory. */
function placed(image: GreyImage): GreyImage {
  const wasm = compiled as { memory: { buffer: ArrayBuffer }; picturesAt(): number };
  const data = new Uint8Array(wasm.memory.buffer, wasm.picturesAt(), image.data.length);
  data.set(image.data);
  return { ...image, data };
}

afterAll(async () => {
  usePatchKernel(null);
  await rm(folder, { recursive: true, force: true });
});

describe('finding a patch again in compiled code', () => {
  it('gives what the plain code gives, at every reduction', () => {
    const shift = fc.double({ min: -2, max: 2, noNaN: true });
    const place = fc.tuple(
      fc.integer({ min: 20, max: width - 20 }),
      fc.integer({ min: 20, max: height - 20 }),
    );
    const light = fc.tuple(
      fc.double({ min: 0.6, max: 1.2, noNaN: true }),
      fc.double({ min: -20, max: 20, noNaN: true }),
    );
    let found = 0;
    for (const factor of [1, 2, 4]) {
      fc.assert(
        fc.property(place, shift, shift, light, ([x, y], dx, dy, [gain, bias]) => {
          const patch = takePatch(unmoved, factor, x, y);
          if (!patch) return;
          const image = picture(dx * factor, dy * factor, gain, bias);
          usePatchKernel(null);
          const plain = registerPatch(patch, image, patch.xPx, patch.yPx, 0.01, 0.02);
          usePatchKernel(compiled);
          const fast = registerPatch(patch, image, patch.xPx, patch.yPx, 0.01, 0.02);
          const inMemory = registerPatch(patch, placed(image), patch.xPx, patch.yPx, 0.01, 0.02);
          expect(inMemory).toEqual(fast);
          expect(fast === null).toBe(plain === null);
          if (!fast || !plain) return;
          found++;
          for (const key of ['xPx', 'yPx', 'sigmaPx', 'correlation'] as const)
            expect(Math.abs(fast[key] - plain[key])).toBeLessThan(1e-9);
        }),
      );
    }
    expect(found).toBeGreaterThan(60);
  });
});
