import { readFile, writeFile } from 'node:fs/promises';

/** Display matrix rows (a, b, c, d as 16.16 fixed point) for a clockwise turn of the picture; ISO/IEC 14496-12, from memory. */
const turns = {
  90: [0, 1, -1, 0],
  180: [-1, 0, 0, -1],
  270: [0, -1, 1, 0],
} as const;

/**
 * Writes the turn that a player applies into the track header of an MP4 file. The stored picture is `storedWidthPx` by
 * `storedHeightPx`; the translation moves the turned picture back into view.
 */
export async function tagTurn(
  file: string,
  turnDeg: 90 | 180 | 270,
  storedWidthPx: number,
  storedHeightPx: number,
): Promise<void> {
  const bytes = await readFile(file);
  const at = bytes.indexOf('tkhd', 0, 'latin1');
  if (at < 0) throw new Error('The file has no track header to write a turn into.');
  const version = bytes[at + 4];
  const matrix = at + 4 + 4 + (version === 1 ? 32 : 20) + 16;
  const [a, b, c, d] = turns[turnDeg];
  const tx = turnDeg === 90 ? storedHeightPx : turnDeg === 180 ? storedWidthPx : 0;
  const ty = turnDeg === 180 ? storedHeightPx : turnDeg === 270 ? storedWidthPx : 0;
  const one = 65536;
  const values = [a * one, b * one, 0, c * one, d * one, 0, tx * one, ty * one, 1 << 30];
  values.forEach((v, i) => bytes.writeInt32BE(v, matrix + 4 * i));
  await writeFile(file, bytes);
}
