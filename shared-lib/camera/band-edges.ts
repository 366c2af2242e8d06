import type { GreyImage } from '../picture/grey-image.ts';
import type { DiscEdges } from './disc-outline.ts';

/** What kernels/rim-edges.ts exports for this, as WebAssembly sees it. */
interface BandExports {
  memory: { buffer: ArrayBuffer };
  bandEdgesAt(): number;
  bandFirstsAt(): number;
  mostBandEdges(): number;
  bandEdges(
    band: number,
    data: number,
    width: number,
    height: number,
    xPx: number,
    yPx: number,
    aPx: number,
    bPx: number,
    thetaRad: number,
    searchPx: number,
    smearXPx: number,
    smearYPx: number,
    minStep: number,
  ): number;
  gatherBands(bands: number, leftPx: number, topPx: number, fullStep: number): number;
}

/** Compiled code that looks for a view's edges in bands about its rim, one after the other, and gathers them. */
export interface BandEdges {
  /** Whether it looked. @param band from 0 */
  look: (
    band: number,
    image: GreyImage,
    xPx: number,
    yPx: number,
    aPx: number,
    bPx: number,
    thetaRad: number,
    searchPx: number,
    smearXPx: number,
    smearYPx: number,
    minStep: number,
  ) => boolean;
  /** The edges of so many bands. @param fullStep from which an edge weighs 1 */
  gather: (
    bands: number,
    leftPx: number,
    topPx: number,
    fullStep: number,
  ) => Pick<DiscEdges, 'xPx' | 'yPx' | 'weight' | 'first'>;
}

let compiled: BandEdges | null = null;

/** Has compiled code look for a view's edges from now on, with the same result to the bit; the plain code again with null. */
export function useBandKernel(exports: unknown, rays: number): void {
  compiled = exports ? bandsCompiled(exports as BandExports, rays) : null;
}

export const bandEdges = (): BandEdges | null => compiled;

function bandsCompiled(wasm: BandExports, rays: number): BandEdges {
  const { buffer } = wasm.memory;
  const most = wasm.mostBandEdges();
  const [xPx, yPx, weight] = [0, 1, 2].map(
    (k) => new Float64Array(buffer, wasm.bandEdgesAt() + 8 * k * most, most),
  );
  const first = new Int32Array(buffer, wasm.bandFirstsAt(), rays + 1);
  return {
    look(band, { data, width, height }, x, y, a, b, theta, search, smearX, smearY, minStep) {
      if (data.buffer !== buffer) return false;
      const at = data.byteOffset;
      // prettier-ignore
      return wasm.bandEdges(band, at, width, height, x, y, a, b, theta, search, smearX, smearY, minStep) !== 0;
    },
    gather(bands, leftPx, topPx, fullStep) {
      const count = wasm.gatherBands(bands, leftPx, topPx, fullStep);
      return {
        xPx: xPx.slice(0, count),
        yPx: yPx.slice(0, count),
        weight: weight.slice(0, count),
        first: first.slice(),
      };
    },
  };
}
