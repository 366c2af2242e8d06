import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import fc from 'fast-check';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { registerPatch, takePatch, usePatchKernel } from '../../../shared-lib/picture/patch-registration.ts';
import { compiledKernels } from './compiled-kernels.ts';

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

let compiled: unknown = null;

beforeAll(async () => {
  compiled = await compiledKernels();
  (compiled as { memory: { grow(pages: number): void } }).memory.grow(2);
});

/** The picture in the compiled code's own memory. */
function placed(image: GreyImage): GreyImage {
  const wasm = compiled as { memory: { buffer: ArrayBuffer }; picturesAt(): number };
  const data = new Uint8Array(wasm.memory.buffer, wasm.picturesAt(), image.data.length);
  data.set(image.data);
  return { ...image, data };
}

afterAll(() => usePatchKernel(null));

describe('finding a patch again in compiled code', () => {
  it('gives what the plain code gives, at every reduction, and to the bit where the search reaches over the border', () => {
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
    let atBorder = 0;
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
          const reach = 13 * factor;
          if (Math.min(x, y, width - x, height - y) < reach - factor) {
            atBorder++;
            expect(fast).toEqual(plain);
          }
          for (const key of ['xPx', 'yPx', 'sigmaPx', 'correlation'] as const)
            expect(Math.abs(fast[key] - plain[key])).toBeLessThan(1e-9);
        }),
      );
    }
    expect(found).toBeGreaterThan(60);
    expect(atBorder).toBeGreaterThan(5);
  });

  it('knows each of more patches than its memory holds, whenever one comes back', () => {
    usePatchKernel(compiled);
    const most = (compiled as { mostPatchesHeld(): number }).mostPatchesHeld();
    const corners = Array.from({ length: most + 40 }, (_, k) => [
      20 + ((k * 37) % 350),
      20 + ((k * 53) % 250),
    ]);
    const patches = corners.flatMap(([x, y]) => takePatch(unmoved, 1, x, y) ?? []);
    expect(patches.length).toBeGreaterThan(most);
    const image = picture(0.7, -0.4, 1, 0);
    const found = () => patches.map((patch) => registerPatch(patch, image, patch.xPx, patch.yPx));
    const first = found();
    expect(first.filter((seen) => seen && seen.correlation > 0.98).length).toBeGreaterThan(
      0.9 * patches.length,
    );
    expect(found()).toEqual(first);
    const turnedRound = [...patches]
      .reverse()
      .map((patch) => registerPatch(patch, image, patch.xPx, patch.yPx));
    expect(turnedRound.reverse()).toEqual(first);
  });
});
