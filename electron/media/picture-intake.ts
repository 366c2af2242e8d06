import type { Socket } from 'node:net';
import type { Readable } from 'node:stream';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';

const newline = 0x0a;
/** What stands before each picture in a YUV4MPEG2 stream, as ffmpeg writes it (yuv4mpeg(5) of mjpegtools, from memory, allows words after it, which ffmpeg has none of). */
const mark = 'FRAME\n';

/** Where the pictures of a YUV4MPEG2 stream of luma alone come in, in a ring of reused buffers. */
export class PictureIntake {
  #done = 0;
  #filled = 0;
  #isInHead = true;
  /** Work space for what is no picture. */
  readonly #words = new Uint8Array(mark.length);
  /** How much of the mark before the next picture is still to come. */
  #ofMark = mark.length;
  #wake: (() => void) | null = null;
  #reader: Socket | null = null;

  constructor(
    private readonly width: number,
    private readonly height: number,
    private readonly ring: readonly Uint8Array[],
  ) {}

  /** Where the next bytes belong. */
  readonly room = (): Uint8Array => {
    // Its length is not known: byte by byte, or the first mark would be read with it.
    if (this.#isInHead) return this.#words.subarray(0, 1);
    if (this.#ofMark > 0) return this.#words.subarray(0, this.#ofMark);
    return this.ring[this.#done % this.ring.length].subarray(this.#filled);
  };

  /** So many have come there; after a picture nothing is read until the next one is asked for. */
  readonly came = (count: number): void => {
    if (this.#isInHead) {
      this.#isInHead = this.#words[0] !== newline;
      return;
    }
    if (this.#ofMark > 0) {
      this.#ofMark -= count;
      return;
    }
    this.#filled += count;
    if (this.#filled < this.width * this.height) return;
    this.#filled = 0;
    this.#ofMark = mark.length;
    this.#done++;
    this.#reader?.pause();
    this.#wake?.();
  };

  /** Pictures that come straight from a pipe. */
  async *pictures(reader: Socket): AsyncGenerator<GreyImage, void, undefined> {
    this.#reader = reader;
    let isOver = reader.destroyed;
    reader.once('close', () => {
      isOver = true;
      this.#wake?.();
    });
    for (let picture = 0; ; picture++) {
      if (!isOver) reader.resume();
      while (this.#done <= picture && !isOver) await new Promise<void>((resolve) => (this.#wake = resolve));
      if (this.#done <= picture) return;
      yield this.#picture(picture);
    }
  }

  /** Pictures cut from a stream. */
  async *cut(stream: Readable): AsyncGenerator<GreyImage, void, undefined> {
    for await (const chunk of stream as AsyncIterable<Uint8Array>) {
      for (let at = 0; at < chunk.length;) {
        const room = this.room();
        const take = Math.min(room.length, chunk.length - at);
        room.set(chunk.subarray(at, at + take));
        at += take;
        const before = this.#done;
        this.came(take);
        if (this.#done > before) yield this.#picture(before);
      }
    }
  }

  #picture(index: number): GreyImage {
    return { width: this.width, height: this.height, data: this.ring[index % this.ring.length] };
  }
}
