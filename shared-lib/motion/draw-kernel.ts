import type { Motion } from '../contract/motion.ts';

/** Where a motion's samples go. */
export type MotionRoom = Pick<Motion, 'xM' | 'yM' | 'vxMps' | 'vyMps'>;

/** What kernels/draw.ts exports, as WebAssembly sees it. */
interface DrawExports {
  memory: { buffer: ArrayBuffer };
  drawMost(): number;
  drawSlots(): number;
  drawGeneratorAt(): number;
  drawNormalsAt(): number;
  drawSlotsAt(): number;
  drawMotionsAt(): number;
  drawMovedAt(): number;
  drawSourcesAt(): number;
  drawNormals(count: number): void;
  drawRemeasured(
    slot: number,
    n: number,
    measured: number,
    slowM: number,
    scaleXM: number,
    scaleYM: number,
  ): void;
  drawOnBase(slot: number, first: number, count: number, unitS: number): void;
  drawTakenBack(n: number): void;
}

/** Figures that a smoothed motion is measured again by, as the compiled code reads them. */
export interface SlotRoom {
  /** `stepFigures` of each sample: the interval, half its square, what is kept of the slow error, its six figures, 1 if measured. */
  steps: Float64Array;
  /** `pairFigures` of each sample, of both coordinates in turn: place, noise, four gains, innovation, three rows of the covariance. */
  pairs: Float64Array;
  /** Twelve weights of each sample on the even base, and the sample that it lies after. */
  weights: Float64Array;
  samples: Int32Array;
}
export const stepFigures = 10;
export const pairFigures = 38;
const baseFigures = 12;
const slotFigures = stepFigures + pairFigures + baseFigures;

/** Compiled code for what thousands of draws of a rep do over and over, and the memory that it works in. */
export interface DrawKernel {
  run: Pick<DrawExports, 'drawNormals' | 'drawRemeasured' | 'drawOnBase' | 'drawTakenBack'>;
  /** Samples of a motion at most. */
  most: number;
  /** A generator's four words, whether a normal is left over (1 or 0) and that normal. */
  words: Int32Array;
  spare: Float64Array;
  normals: Float64Array;
  /** Where motions that are measured again come out and others are put for their sources to be taken back. */
  motionIn: MotionRoom;
  /** Where they come out with their sources taken back. */
  motionOut: MotionRoom;
  sources: Float64Array;
  /** Smoothed motions whose figures there is room for at once. */
  held: number;
  /** The slot with the figures of `owner`, put there by `fill` where none has them. */
  slotOf(owner: object, fill: (room: SlotRoom) => void): number;
}

let kernel: DrawKernel | null = null;

/** Has compiled code draw from now on, with the same result to the bit; the plain code again with null. */
export function useDrawKernel(exports: unknown): void {
  kernel = exports ? kernelOf(exports as DrawExports) : null;
}

export const drawKernel = (): DrawKernel | null => kernel;

function kernelOf(wasm: DrawExports): DrawKernel {
  const { buffer } = wasm.memory;
  const most = wasm.drawMost();
  const floats = (at: number, count: number): Float64Array => new Float64Array(buffer, at, count);
  const motion = (at: number): MotionRoom => {
    const [xM, yM, vxMps, vyMps] = [0, 1, 2, 3].map((k) => floats(at + 8 * k * most, most));
    return { xM, yM, vxMps, vyMps };
  };
  const slotRoom = (slot: number): SlotRoom => {
    const at = wasm.drawSlotsAt() + slot * most * (8 * slotFigures + 4);
    const pairsAt = at + 8 * most * stepFigures;
    const weightsAt = pairsAt + 8 * most * pairFigures;
    return {
      steps: floats(at, most * stepFigures),
      pairs: floats(pairsAt, most * pairFigures),
      weights: floats(weightsAt, most * baseFigures),
      samples: new Int32Array(buffer, weightsAt + 8 * most * baseFigures, most),
    };
  };
  // The one that was used longest ago comes first.
  const held: { slot: number; owner: WeakRef<object> | null }[] = Array.from(
    { length: wasm.drawSlots() },
    (_, slot) => ({ slot, owner: null }),
  );
  return {
    run: wasm,
    most,
    held: held.length,
    words: new Int32Array(buffer, wasm.drawGeneratorAt(), 4),
    spare: floats(wasm.drawGeneratorAt() + 16, 2),
    normals: floats(wasm.drawNormalsAt(), 8 * most),
    motionIn: motion(wasm.drawMotionsAt()),
    motionOut: motion(wasm.drawMovedAt()),
    sources: floats(wasm.drawSourcesAt(), 28),
    slotOf(owner, fill) {
      const at = held.findIndex((each) => each.owner?.deref() === owner);
      const [its] = held.splice(Math.max(0, at), 1);
      held.push(its);
      if (at < 0) {
        fill(slotRoom(its.slot));
        its.owner = new WeakRef(owner);
      }
      return its.slot;
    },
  };
}

/** The first `n` samples of such room. */
export const roomOf = ({ xM, yM, vxMps, vyMps }: MotionRoom, n: number): MotionRoom => ({
  xM: xM.subarray(0, n),
  yM: yM.subarray(0, n),
  vxMps: vxMps.subarray(0, n),
  vyMps: vyMps.subarray(0, n),
});

/** Whether a motion lies in such room, from its beginning on. */
export const liesIn = (room: MotionRoom, { xM }: MotionRoom): boolean =>
  xM.buffer === room.xM.buffer && xM.byteOffset === room.xM.byteOffset;
