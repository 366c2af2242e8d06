import { candidatesPerRay } from './rim-edges.ts';
import type { RimFitter } from './rim-fit.ts';

/** What kernels/rim-fit.ts exports, as WebAssembly sees it. */
interface RimFitExports {
  memory: { buffer: ArrayBuffer };
  rimFitRaysAt(): number;
  rimFitCandidatesAt(): number;
  rimFitAt(): number;
  rimFitChosenAt(): number;
  mostRimFitRays(): number;
  rimFit(
    rays: number,
    startX: number,
    startY: number,
    maxShiftPx: number,
    shiftSigmaPx: number,
    kernelPx: number,
    scaleSigma: number,
    stretchSigma: number,
  ): number;
  rimFitCovariance(): number;
}

/** Fits by compiled code; undefined for more rays than it holds. */
export function fitCompiled(
  exports: unknown,
): (...of: Parameters<RimFitter>) => ReturnType<RimFitter> | undefined {
  const wasm = exports as RimFitExports;
  const { buffer } = wasm.memory;
  const most = wasm.mostRimFitRays();
  const [nx, ny, px, py, trusted] = Array.from(
    { length: 5 },
    (_, k) => new Float64Array(buffer, wasm.rimFitRaysAt() + 8 * k * most, most),
  );
  const perEach = most * candidatesPerRay;
  const [offsetPx, step] = [0, 1].map(
    (k) => new Float64Array(buffer, wasm.rimFitCandidatesAt() + 8 * k * perEach, perEach),
  );
  const fit = new Float64Array(buffer, wasm.rimFitAt(), 13);
  const chosen = new Int32Array(buffer, wasm.rimFitChosenAt(), most);
  return (edges, { around, maxShiftPx, shiftSigmaPx, kernelPx, scaleSigma, trust }, stretchSigma) => {
    const { rays, centre } = edges;
    if (rays > most) return undefined;
    nx.set(edges.nx);
    ny.set(edges.ny);
    for (let i = 0; i < rays; i++) {
      px[i] = edges.xPx[i] - centre.xPx;
      py[i] = edges.yPx[i] - centre.yPx;
    }
    if (trust) trusted.set(trust);
    else trusted.fill(1, 0, rays);
    offsetPx.set(edges.offsetPx);
    step.set(edges.step);
    const { dx, dy } = around;
    if (!wasm.rimFit(rays, dx, dy, maxShiftPx, shiftSigmaPx, kernelPx, scaleSigma, stretchSigma)) return null;
    // By index: taken apart in one go each value would come in an object of its own.
    return {
      shift: { dxPx: fit[0], dyPx: fit[1], dScale: fit[2], stretch: [fit[3], fit[4]] },
      ...{ sumW: fit[5], sumWr2: fit[6], used: fit[7], contrast: fit[8] },
      chosen: chosen.slice(0, rays),
      covariance() {
        if (!wasm.rimFitCovariance()) return null;
        return { varXPx2: fit[9], covXYPx2: fit[10], varYPx2: fit[11], varScale: fit[12] };
      },
    };
  };
}
