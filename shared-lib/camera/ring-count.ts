/** Edges on a face's plane, from its centre, in shares of the radius; and how many lie at each distance from a centre. */
export interface RingCounter {
  /** Where edges lie, to be filled in: so many as are counted. */
  right: Float64Array;
  down: Float64Array;
  weight: Float64Array;
  /**
   * Weights by distance from a centre, each shared out between the two nearest of the bins' lower ends; the next count writes
   * over what this one gives.
   */
  count: (size: number, centreRight: number, centreDown: number) => Float64Array;
}

/** Bins of distance from a centre, shares of the radius. */
export interface RingBins {
  least: number;
  binShare: number;
  bins: number;
}

/** What kernels/ring-count.ts exports, as WebAssembly sees it. */
interface RingExports {
  memory: { buffer: ArrayBuffer };
  ringEdgesAt(): number;
  ringShownAt(): number;
  mostRingEdges(): number;
  mostRingBins(): number;
  ringCount(size: number, right: number, down: number, least: number, binShare: number, bins: number): void;
}

let kernel: RingExports | null = null;

/** Has compiled code count from now on, with the same result to the bit; the plain code again with null. */
export function useRingKernel(exports: unknown): void {
  kernel = exports as RingExports | null;
}

/** @param most edges at most; one counter is in use at a time */
export const ringCounter = (most: number, bins: RingBins): RingCounter =>
  (kernel && countCompiled(kernel, most, bins)) ?? countPlainly(most, bins);

function countCompiled(
  wasm: RingExports,
  most: number,
  { least, binShare, bins }: RingBins,
): RingCounter | null {
  const { buffer } = wasm.memory;
  const room = wasm.mostRingEdges();
  if (most > room || bins >= wasm.mostRingBins()) return null;
  const [right, down, weight] = [0, 1, 2].map(
    (k) => new Float64Array(buffer, wasm.ringEdgesAt() + 8 * k * room, room),
  );
  const shown = new Float64Array(buffer, wasm.ringShownAt(), bins + 1);
  const count: RingCounter['count'] = (size, x, y) => {
    wasm.ringCount(size, x, y, least, binShare, bins);
    return shown;
  };
  return { right, down, weight, count };
}

function countPlainly(most: number, { least, binShare, bins }: RingBins): RingCounter {
  const [right, down, weight] = [new Float64Array(most), new Float64Array(most), new Float64Array(most)];
  const shown = new Float64Array(bins + 1);
  const count: RingCounter['count'] = (size, centreRight, centreDown) => {
    shown.fill(0);
    for (let i = 0; i < size; i++) {
      const x = right[i] - centreRight;
      const y = down[i] - centreDown;
      const at = (Math.sqrt(x * x + y * y) - least) / binShare;
      if (!(at >= 0 && at < bins)) continue;
      const bin = at | 0;
      shown[bin] += weight[i] * (bin + 1 - at);
      shown[bin + 1] += weight[i] * (at - bin);
    }
    return shown;
  };
  return { right, down, weight, count };
}
