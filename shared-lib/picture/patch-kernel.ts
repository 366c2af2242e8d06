import type { GreyImage } from './grey-image.ts';
import type { Patch } from './patch-registration.ts';

/** What kernels/patch.ts exports, as WebAssembly sees it. */
interface PatchExports {
  memory: { buffer: ArrayBuffer };
  rawAt(): number;
  windowAt(): number;
  patchAt(slot: number): number;
  mostPatchesHeld(): number;
  outAt(): number;
  reduce(factor: number, from: number, stride: number): void;
  register(
    patchAt: number,
    x: number,
    y: number,
    norm: number,
    inv0: number,
    inv1: number,
    inv2: number,
  ): number;
}

const within = (at: number, count: number): number => Math.min(count - 1, Math.max(0, at));

/** Finding a patch again in compiled code: the same as in `registerPatch`, to rounding. */
export interface PatchKernel {
  /**
   * @param left, top upper left reduced pixel of the window; beyond the picture's border its outermost pixels go on
   * @returns the window, the same as by `reduceWindow` to the bit, until the next is asked for
   */
  reduce(image: GreyImage, factor: number, left: number, top: number): Float64Array;
  /**
   * In the window that was asked for last.
   * @param x, y upper left corner of the patch inside the window, to start from
   * @returns x, y, correlation and noise, to be read before the next call; null where nothing was found
   */
  find(patch: Patch, x: number, y: number): Float64Array | null;
}

/** Reductions that the compiled code knows. */
export const kernelFactors: readonly number[] = [1, 2, 4];

/**
 * Pictures that lie in the code's own memory are read where they are; of others, and at a border, the piece is copied.
 * @param windowSize side of the window, reduced pixels
 */
export function patchKernel(exports: unknown, windowSize: number, area: number): PatchKernel {
  const wasm = exports as PatchExports;
  const { buffer } = wasm.memory;
  const side = 4 * (windowSize + 1);
  const raw = new Uint8Array(buffer, wasm.rawAt(), side * side);
  const held = new HeldPatches(wasm, area);
  const out = new Float64Array(buffer, wasm.outAt(), 4);
  const window = new Float64Array(buffer, wasm.windowAt(), windowSize * windowSize);
  return {
    reduce(image, factor, left, top) {
      const first = factor === 1 ? 0 : factor / 2;
      const size = factor === 1 ? windowSize : (windowSize + 1) * factor;
      const { data, width, height } = image;
      const x0 = left * factor - first;
      const y0 = top * factor - first;
      const isInside = x0 >= 0 && y0 >= 0 && x0 + size <= width && y0 + size <= height;
      if (data.buffer === buffer && isInside) {
        wasm.reduce(factor, data.byteOffset + y0 * width + x0, width);
        return window;
      }
      for (let r = 0, to = 0; r < size; r++) {
        const line = within(y0 + r, height) * width;
        for (let c = 0; c < size; c++) raw[to++] = data[line + within(x0 + c, width)];
      }
      wasm.reduce(factor, raw.byteOffset, size);
      return window;
    },
    find(patch, x, y) {
      const { inv } = patch;
      return wasm.register(held.at(patch), x, y, patch.norm, inv[0], inv[1], inv[2]) === 1 ? out : null;
    },
  };
}

/** Patches in the code's memory: a mark's stays there while picture after picture is looked at. */
class HeldPatches {
  readonly #patches: (Patch | null)[];
  readonly #slots = new WeakMap<Patch, number>();
  #next = 0;

  constructor(
    private readonly wasm: PatchExports,
    private readonly area: number,
  ) {
    this.#patches = new Array<Patch | null>(wasm.mostPatchesHeld()).fill(null);
  }

  /** Where a patch is, in place of the one brought there longest ago if it was not there. */
  at(patch: Patch): number {
    const slot = this.#slots.get(patch);
    return this.wasm.patchAt(slot !== undefined && this.#patches[slot] === patch ? slot : this.#bring(patch));
  }

  #bring(patch: Patch): number {
    const slot = this.#next;
    this.#next = (slot + 1) % this.#patches.length;
    this.#patches[slot] = patch;
    this.#slots.set(patch, slot);
    const columns = [patch.unit, patch.gx, patch.gy];
    const column = (k: number): Float64Array =>
      new Float64Array(this.wasm.memory.buffer, this.wasm.patchAt(slot) + 8 * k * (this.area + 1), this.area);
    columns.forEach((values, k) => column(k).set(values));
    return slot;
  }
}
