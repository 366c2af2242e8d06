import type { GreyImage } from './grey-image.ts';
import type { Patch } from './patch-registration.ts';

/** What kernels/patch.ts exports, as WebAssembly sees it. */
interface PatchExports {
  memory: { buffer: ArrayBuffer };
  rawAt(): number;
  windowAt(): number;
  unitAt(): number;
  gxAt(): number;
  gyAt(): number;
  outAt(): number;
  reduce(factor: number, from: number, stride: number): void;
  register(x: number, y: number, norm: number, inv0: number, inv1: number, inv2: number): number;
}

/** Finding a patch again in compiled code: the same as in `registerPatch`, to rounding. */
export interface PatchKernel {
  /**
   * @param left, top upper left reduced pixel of the window, which lies in the picture whole
   * @param x, y upper left corner of the patch inside the window, to start from
   * @returns x, y, correlation and noise, to be read before the next call; null where nothing was found
   */
  find(patch: Patch, image: GreyImage, left: number, top: number, x: number, y: number): Float64Array | null;
}

/** Reductions that the compiled code knows. */
export const kernelFactors: readonly number[] = [1, 2, 4];

/**
 * Pictures that lie in the code's own memory are read where they are, others are copied piece by piece.
 * @param windowSize side of the window, reduced pixels
 */
export function patchKernel(exports: unknown, windowSize: number, area: number): PatchKernel {
  const wasm = exports as PatchExports;
  const { buffer } = wasm.memory;
  const side = 4 * (windowSize + 1);
  const raw = new Uint8Array(buffer, wasm.rawAt(), side * side);
  const unit = new Float64Array(buffer, wasm.unitAt(), area);
  const gx = new Float64Array(buffer, wasm.gxAt(), area);
  const gy = new Float64Array(buffer, wasm.gyAt(), area);
  const out = new Float64Array(buffer, wasm.outAt(), 4);
  return {
    find(patch, image, left, top, x, y) {
      const { factor, inv } = patch;
      const first = factor === 1 ? 0 : factor / 2;
      const width = factor === 1 ? windowSize : (windowSize + 1) * factor;
      const { data, width: stride } = image;
      const at = (top * factor - first) * stride + left * factor - first;
      if (data.buffer === buffer) {
        wasm.reduce(factor, data.byteOffset + at, stride);
      } else {
        for (let r = 0, to = 0; r < width; r++)
          for (let c = 0, line = at + r * stride; c < width; c++) raw[to++] = data[line + c];
        wasm.reduce(factor, raw.byteOffset, width);
      }
      unit.set(patch.unit);
      gx.set(patch.gx);
      gy.set(patch.gy);
      return wasm.register(x, y, patch.norm, inv[0], inv[1], inv[2]) === 1 ? out : null;
    },
  };
}
