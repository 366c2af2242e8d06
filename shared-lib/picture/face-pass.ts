import type { FaceTemplate } from './face-registration.ts';
import type { GreyImage } from './grey-image.ts';

/** Sectors that the face's points are grouped into for the covariance. */
export const sectors = 12;
/** Sums kept for each sector: the upper triangle of the normal matrix, then the right-hand side. */
export const sumsPerSector = 20;

/** Passes over the points of a face in one picture; the next face's write over what these give. */
export interface FacePass {
  /**
   * Adds up the face's normal equations with Tukey weights.
   * @param ox, oy where the face's middle is taken to be in the piece of the picture
   * @param mxu, mxv, myu, myv the face's axes there
   * @param gain, offset of the light against the template's
   * @param gate one over the residual from which a point does not count
   */
  pass: (
    ox: number,
    oy: number,
    mxu: number,
    mxv: number,
    myu: number,
    myv: number,
    gain: number,
    offset: number,
    gate: number,
  ) => void;
  /** Grey level at each point in the last pass. */
  seen: Float64Array;
  /** Of the last pass, sector by sector. */
  sums: Float64Array;
  /** Points that counted, their weighted squared residuals, and their weights. */
  totals: Float64Array;
}

/** What kernels/face.ts exports, as WebAssembly sees it. */
interface FaceExports {
  memory: { buffer: ArrayBuffer };
  facePointsAt(): number;
  faceSectorAt(): number;
  faceCropAt(): number;
  faceSumsAt(): number;
  faceSeenAt(): number;
  mostFacePoints(): number;
  mostFaceCropBytes(): number;
  facePass(n: number, width: number, ...at: Parameters<FacePass['pass']>): void;
}

const ofPoint = ['u', 'v', 'grey', 'gu', 'gv'] as const;

let compiled: ((template: FaceTemplate, piece: GreyImage) => FacePass | null) | null = null;

/** Has faces gone over by compiled code from now on, with the same result to the bit; by the plain code again with null. */
export function useFaceKernel(exports: unknown): void {
  const wasm = exports as FaceExports | null;
  compiled = wasm && passCompiled(wasm);
}

/** @param piece of the picture, square */
export const facePass = (template: FaceTemplate, piece: GreyImage): FacePass =>
  compiled?.(template, piece) ?? passPlainly(template, piece);

function passCompiled(wasm: FaceExports): typeof compiled {
  const { buffer } = wasm.memory;
  const most = wasm.mostFacePoints();
  const points = ofPoint.map((_, k) => new Float32Array(buffer, wasm.facePointsAt() + 4 * k * most, most));
  const sector = new Uint8Array(buffer, wasm.faceSectorAt(), most);
  const crop = new Uint8Array(buffer, wasm.faceCropAt(), wasm.mostFaceCropBytes());
  const allSums = new Float64Array(buffer, wasm.faceSumsAt(), sectors * sumsPerSector + 3);
  const sums = allSums.subarray(0, sectors * sumsPerSector);
  const totals = allSums.subarray(sectors * sumsPerSector);
  return (template, { width, data }) => {
    const n = template.u.length;
    if (n > most || data.length > crop.length) return null;
    ofPoint.forEach((name, k) => points[k].set(template[name]));
    sector.set(template.sector);
    crop.set(data);
    return {
      pass: (ox, oy, mxu, mxv, myu, myv, gain, offset, gate) =>
        wasm.facePass(n, width, ox, oy, mxu, mxv, myu, myv, gain, offset, gate),
      seen: new Float64Array(buffer, wasm.faceSeenAt(), n),
      sums,
      totals,
    };
  };
}

function passPlainly({ u, v, grey, gu, gv, sector }: FaceTemplate, { width, data }: GreyImage): FacePass {
  const n = u.length;
  const seen = new Float64Array(n);
  const sums = new Float64Array(sectors * sumsPerSector);
  const totals = new Float64Array(3);
  const last = width - 1.001;
  const pass: FacePass['pass'] = (ox, oy, mxu, mxv, myu, myv, gain, offset, gate) => {
    sums.fill(0);
    let inliers = 0;
    let sumR2 = 0;
    let sumW = 0;
    for (let i = 0; i < n; i++) {
      const du = u[i];
      const dv = v[i];
      // sampleBilinear written out: this loop is where following spends its time.
      let x = ox + mxu * du + mxv * dv;
      let y = oy + myu * du + myv * dv;
      x = x < 0 ? 0 : x > last ? last : x;
      y = y < 0 ? 0 : y > last ? last : y;
      const xi = x | 0;
      const yi = y | 0;
      const fx = x - xi;
      const at = yi * width + xi;
      const top = data[at] + fx * (data[at + 1] - data[at]);
      const value =
        top + (y - yi) * (data[at + width] + fx * (data[at + width + 1] - data[at + width]) - top);
      seen[i] = value;
      const g = grey[i];
      const r = value - (gain * g + offset);
      const k = r * gate;
      if (k > 1 || k < -1) continue;
      const w = (1 - k * k) * (1 - k * k);
      inliers++;
      // Shift of the picture in the template's own axes; gain scales the gradients.
      const j0 = gain * gu[i];
      const j1 = gain * gv[i];
      const j2 = j1 * du - j0 * dv;
      const w0 = w * j0;
      const w1 = w * j1;
      const w2 = w * j2;
      const wg = w * g;
      const to = sector[i] * sumsPerSector;
      sums[to] += w0 * j0;
      sums[to + 1] += w0 * j1;
      sums[to + 2] += w0 * j2;
      sums[to + 3] += w0 * g;
      sums[to + 4] += w0;
      sums[to + 5] += w1 * j1;
      sums[to + 6] += w1 * j2;
      sums[to + 7] += w1 * g;
      sums[to + 8] += w1;
      sums[to + 9] += w2 * j2;
      sums[to + 10] += w2 * g;
      sums[to + 11] += w2;
      sums[to + 12] += wg * g;
      sums[to + 13] += wg;
      sums[to + 14] += w;
      sums[to + 15] += w0 * r;
      sums[to + 16] += w1 * r;
      sums[to + 17] += w2 * r;
      sums[to + 18] += wg * r;
      sums[to + 19] += w * r;
      sumR2 += w * r * r;
      sumW += w;
    }
    totals[0] = inliers;
    totals[1] = sumR2;
    totals[2] = sumW;
  };
  return { pass, seen, sums, totals };
}
