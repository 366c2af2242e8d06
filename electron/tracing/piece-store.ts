import type { Rim } from '../../shared-lib/contract/trace.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { viewOf, type DiscView } from '../../shared-lib/trace/disc-views.ts';
import { ScratchFile } from './scratch-file.ts';

/**
 * What is kept in memory at most, and beyond that in a file that goes with the program, bytes. A disc of 300 px takes 110 kB a picture, 2 GB
 * in five minutes of 60 a second; what is not kept is decoded again.
 */
export interface PieceLimits {
  inMemory: number;
  inFile: number;
}
const usualLimits: PieceLimits = { inMemory: 32e6, inFile: 4e9 };
/** Pieces are cut this much larger than views of the ring as it was followed: the ring may be settled a little larger. */
const slack = 1.12;
const noPixels = new Uint8Array(0);
const newRoom = (bytes: number): Uint8Array => new Uint8Array(bytes);

/** A piece in memory, or where its pixels are in the file. */
interface Kept {
  piece: DiscView;
  /** Place in the file; -1 in memory. */
  at: number;
}

/**
 * The surroundings of followed discs, cut out of each picture as it went by, so that nothing is decoded again when
 * the discs are looked at more closely later. What does not fit is not kept.
 */
export class PieceStore {
  readonly #kept = new Map<object, Map<number, Kept>>();
  #inMemory = 0;
  readonly #file: ScratchFile;
  /** Work space: a piece that goes to the file is made in the place of the one before. */
  #room: Uint8Array = noPixels;

  constructor(private readonly limits: PieceLimits = usualLimits) {
    this.#file = new ScratchFile(limits.inFile);
  }

  /** @param disc any object that stands for the disc */
  keep(disc: object, frame: number, image: GreyImage, ring: Rim): void {
    const piece = viewOf(image, { ...ring, aPx: ring.aPx * slack }, frame, this.#room);
    const bytes = piece.image.data.length;
    if (bytes > this.#room.length) this.#room = piece.image.data;
    const fits = this.#inMemory + bytes <= this.limits.inMemory;
    const at = fits ? -1 : this.#file.write(piece.image.data);
    if (!fits && at < 0) return;
    if (fits) this.#inMemory += bytes;
    const pieces = this.#kept.get(disc) ?? new Map<number, Kept>();
    this.#kept.set(disc, pieces);
    const pixels = fits ? piece.image.data.slice() : noPixels;
    pieces.set(frame, { piece: { ...piece, image: { ...piece.image, data: pixels } }, at });
  }

  /** Lets go of all discs but these. */
  keepOnly(discs: readonly object[]): void {
    for (const [disc, pieces] of this.#kept) {
      if (discs.includes(disc)) continue;
      for (const { piece } of pieces.values()) this.#inMemory -= piece.image.data.length;
      this.#kept.delete(disc);
    }
  }

  /**
   * The piece of a frame; null where none was kept.
   * @param roomFor where so many pixels may be read to, if they are not in memory
   */
  piece(disc: object, frame: number, roomFor = newRoom): DiscView | null {
    const kept = this.#kept.get(disc)?.get(frame);
    if (!kept) return null;
    const { piece, at } = kept;
    if (at < 0) return piece;
    const bytes = piece.image.width * piece.image.height;
    const data = roomFor(bytes).subarray(0, bytes);
    return this.#file.read(at, data) ? { ...piece, image: { ...piece.image, data } } : null;
  }

  close(): void {
    this.#kept.clear();
    this.#file.close();
  }
}
