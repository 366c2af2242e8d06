import { ScratchFile } from './scratch-file.ts';

/** In a file at most, bytes: three seconds of 1080p at 60 pictures a second. */
const mostBytes = 400e6;

/**
 * Pictures that went by before the bar's disc was plain, from the clip's first on, so that the way back from where the disc
 * was found is not decoded again: writing and reading one takes a tenth of what decoding it does. What does not fit is not
 * kept, nor anything after it.
 */
export class PassedPictures {
  readonly #file: ScratchFile;
  readonly #at = new Map<number, number>();
  #isFull = false;

  constructor(limit = mostBytes) {
    this.#file = new ScratchFile(limit);
  }

  /** Keeps a frame's pixels, in order of time. */
  keep(frame: number, pixels: Uint8Array): void {
    if (this.#isFull) return;
    const at = this.#file.write(pixels);
    if (at < 0) this.#isFull = true;
    else this.#at.set(frame, at);
  }

  has(frame: number): boolean {
    return this.#at.has(frame);
  }

  /** Puts a frame's pixels back where there is room for them; false where they are not there. */
  fetch(frame: number, room: Uint8Array): boolean {
    const at = this.#at.get(frame);
    return at !== undefined && this.#file.read(at, room);
  }

  close(): void {
    this.#at.clear();
    this.#file.close();
  }
}
