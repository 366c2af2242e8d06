import type { Rim } from '../contract/trace.ts';

/** What kernels/ellipse.ts exports, as WebAssembly sees it. */
interface EllipseExports {
  memory: { buffer: ArrayBuffer };
  ellipseXAt(): number;
  ellipseYAt(): number;
  ellipseAt(): number;
  mostEllipsePoints(): number;
  ellipseFit(n: number): number;
  ellipseThrough(n: number): void;
}

/** Compiled code that fits ellipses to points in its memory. */
export interface EllipseKernel {
  /** Where the points go; as many as these hold. */
  xPx: Float64Array;
  yPx: Float64Array;
  /** The ellipse by the first `n` points, as `fitEllipse` fits it; null where they define none. */
  fit(n: number): Rim | null;
  /** The same as `ellipseThroughEdges` fits it again and again. @param start what it is where they define none */
  through(n: number, start: Rim): Rim;
}

let kernel: EllipseKernel | null = null;

/** Has compiled code fit ellipses from now on, with the same result to the bit; the plain code again with null. */
export function useEllipseKernel(exports: unknown): void {
  kernel = exports ? kernelOf(exports as EllipseExports) : null;
}

export const ellipseKernel = (): EllipseKernel | null => kernel;

function kernelOf(wasm: EllipseExports): EllipseKernel {
  const { buffer } = wasm.memory;
  const most = wasm.mostEllipsePoints();
  const ellipse = new Float64Array(buffer, wasm.ellipseAt(), 5);
  const found = (): Rim => ({
    xPx: ellipse[0],
    yPx: ellipse[1],
    aPx: ellipse[2],
    bPx: ellipse[3],
    thetaRad: ellipse[4],
  });
  return {
    xPx: new Float64Array(buffer, wasm.ellipseXAt(), most),
    yPx: new Float64Array(buffer, wasm.ellipseYAt(), most),
    fit: (n) => (wasm.ellipseFit(n) ? found() : null),
    through(n, { xPx, yPx, aPx, bPx, thetaRad }) {
      ellipse[0] = xPx;
      ellipse[1] = yPx;
      ellipse[2] = aPx;
      ellipse[3] = bPx;
      ellipse[4] = thetaRad;
      wasm.ellipseThrough(n);
      return found();
    },
  };
}
