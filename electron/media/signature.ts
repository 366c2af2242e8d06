import { open } from 'node:fs/promises';

/** Types of the box a movie file can begin with (ISO/IEC 14496-12, QuickTime File Format). */
const firstBoxes = ['ftyp', 'moov', 'mdat', 'free', 'skip', 'wide', 'pnot', 'styp', 'uuid'];

/** Whether a file begins as ISO base media, QuickTime, Matroska, WebM or AVI do, whatever its name. */
export function hasClipSignature(head: Uint8Array): boolean {
  const text = (from: number, to: number): string => String.fromCharCode(...head.subarray(from, to));
  const isEbml = head[0] === 0x1a && head[1] === 0x45 && head[2] === 0xdf && head[3] === 0xa3;
  return firstBoxes.includes(text(4, 8)) || isEbml || (text(0, 4) === 'RIFF' && text(8, 11) === 'AVI');
}

/** The first bytes of a file, at most `length`. */
export async function headOf(file: string, length = 12): Promise<Uint8Array> {
  const handle = await open(file, 'r');
  try {
    const { buffer, bytesRead } = await handle.read(new Uint8Array(length), 0, length, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await handle.close();
  }
}
