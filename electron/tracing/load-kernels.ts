import { readFileSync } from 'node:fs';
import { useBandKernel } from '../../shared-lib/camera/band-edges.ts';
import { rays } from '../../shared-lib/camera/disc-outline.ts';
import { useRingKernel } from '../../shared-lib/camera/ring-count.ts';
import { useSettleKernel } from '../../shared-lib/camera/settle-pulls.ts';
import { usePoseKernel } from '../../shared-lib/camera/view-sums.ts';
import { useBlockSumsKernel } from '../../shared-lib/picture/block-sums.ts';
import { useCropKernel } from '../../shared-lib/picture/disc-crop.ts';
import { useCutKernel } from '../../shared-lib/picture/cut-kernel.ts';
import { useEdgeVotesKernel } from '../../shared-lib/picture/edge-votes.ts';
import { useEllipseKernel } from '../../shared-lib/picture/ellipse-kernel.ts';
import { useFaceKernel } from '../../shared-lib/picture/face-pass.ts';
import { useReduceKernel } from '../../shared-lib/picture/grey-image.ts';
import { usePatchKernel } from '../../shared-lib/picture/patch-registration.ts';
import { useRimKernel } from '../../shared-lib/picture/rim-edges.ts';
import { useRimFitKernel } from '../../shared-lib/picture/rim-fit.ts';
import { useShapeVoteKernel } from '../../shared-lib/picture/shape-vote.ts';
import { useDrawKernel } from '../../shared-lib/motion/draw-kernel.ts';
import { useSmootherKernel } from '../../shared-lib/motion/state-smoother.ts';
import { builtFile } from '../built-file.ts';

const pageBytes = 65536;

interface Exports {
  memory: { buffer: SharedArrayBuffer; grow(pages: number): number };
  picturesAt(): number;
}
let code: WebAssembly.Module | null | undefined;
let isLoaded = false;

/** Pictures of one clip that compiled code reads without copying and other threads can fill. */
export type PictureRing = readonly Uint8Array<SharedArrayBuffer>[];

/** Compiled code by the pictures in its memory, and what no clip is followed with now: memory that is seen by several threads is thrown away late. */
const lent = new WeakMap<PictureRing, Exports>();
const spare: Exports[] = [];

/**
 * Has hot loops run as compiled code on this thread from now on; where nothing is built the plain code does the same.
 * @returns buffers for so many pictures, each of so many bytes, until they are given back
 */
export function loadKernels(pictureBytes: number, pictures: number): PictureRing {
  isLoaded = true;
  code ??= readCode();
  if (!code)
    return Array.from({ length: pictures }, () => new Uint8Array(new SharedArrayBuffer(pictureBytes)));
  const exports = spare.pop() ?? (new WebAssembly.Instance(code, { engine: Math }).exports as Exports);
  const { memory } = exports;
  const each = Math.ceil(pictureBytes / 16) * 16;
  const first = exports.picturesAt();
  const missing = first + pictures * each - memory.buffer.byteLength;
  // Growing replaces the buffer: before anything looks at it.
  if (missing > 0) memory.grow(Math.ceil(missing / pageBytes));
  useBandKernel(exports, rays);
  useBlockSumsKernel(exports);
  useCropKernel(exports);
  useCutKernel(exports);
  useDrawKernel(exports);
  useEdgeVotesKernel(exports);
  useReduceKernel(exports);
  useEllipseKernel(exports);
  useFaceKernel(exports);
  usePoseKernel(exports);
  usePatchKernel(exports);
  useRimKernel(exports);
  useRimFitKernel(exports);
  useRingKernel(exports);
  useSettleKernel(exports);
  useShapeVoteKernel(exports);
  useSmootherKernel(exports);
  const ring = Array.from(
    { length: pictures },
    (_, k) => new Uint8Array(memory.buffer, first + k * each, pictureBytes),
  );
  lent.set(ring, exports);
  return ring;
}

/** Nobody looks at these pictures any more, nor decodes into them: the next clip on this thread may have their memory. */
export function giveBack(ring: PictureRing): void {
  const exports = lent.get(ring);
  if (exports && lent.delete(ring)) spare.push(exports);
}

/** The same for work without pictures, where it was not done on this thread before. */
export function loadKernelsOnce(): void {
  if (!isLoaded) loadKernels(0, 0);
}

function readCode(): WebAssembly.Module | null {
  const file = builtFile('kernels.wasm');
  return file && new WebAssembly.Module(readFileSync(file));
}
