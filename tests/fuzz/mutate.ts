import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { uniformInt } from 'pure-rand/distribution/uniformInt';

/** Draws whole numbers from `from` to `to`, both included. */
export type Draw = (from: number, to: number) => number;

export function drawsOf(seed: number): Draw {
  const generator = xoroshiro128plus(seed);
  return (from, to) => uniformInt(generator, from, to);
}

/** Sizes, counts and times that break arithmetic when they are believed. */
const extremes = [0, 1, 7, 8, 0x7fff_ffff, 0x8000_0000, 0xffff_fff0, 0xffff_ffff, 0x0100_0000, 0x00ff_ffff];

/** A place in the file; every second time near its head or tail, where containers keep what they say of themselves. */
function placeIn(bytes: Buffer, draw: Draw): number {
  const last = bytes.length - 1;
  const near = Math.min(last, 1500);
  return [() => draw(0, last), () => draw(0, near), () => draw(0, last), () => last - draw(0, near)][
    draw(0, 3)
  ]();
}

const damages: Record<string, (bytes: Buffer, draw: Draw) => Buffer> = {
  bits(bytes, draw) {
    for (let n = draw(1, 30); n > 0; n--) bytes[placeIn(bytes, draw)] ^= 1 << draw(0, 7);
    return bytes;
  },
  numbers(bytes, draw) {
    for (let n = draw(1, 4); n > 0; n--) {
      const at = Math.min(placeIn(bytes, draw) & ~(draw(0, 1) * 3), bytes.length - 4);
      bytes.writeUInt32BE(extremes[draw(0, extremes.length - 1)], at);
    }
    return bytes;
  },
  noise(bytes, draw) {
    const at = placeIn(bytes, draw);
    for (let i = at; i < Math.min(bytes.length, at + draw(4, 400)); i++) bytes[i] = draw(0, 255);
    return bytes;
  },
  hole(bytes, draw) {
    const at = placeIn(bytes, draw);
    return bytes.fill(draw(0, 1) * 255, at, Math.min(bytes.length, at + draw(4, 2000)));
  },
  cut: (bytes, draw) => bytes.subarray(0, draw(0, bytes.length - 1)),
  behead: (bytes, draw) => bytes.subarray(draw(1, Math.min(bytes.length - 1, 2000))),
  gap(bytes, draw) {
    const at = placeIn(bytes, draw);
    return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + draw(1, 300))]);
  },
  repeat(bytes, draw) {
    const at = placeIn(bytes, draw);
    const piece = bytes.subarray(at, at + draw(8, 3000));
    return Buffer.concat([
      bytes.subarray(0, at),
      ...Array<Buffer>(draw(2, 20)).fill(piece),
      bytes.subarray(at),
    ]);
  },
};
export const damageNames = Object.keys(damages);

/** A damaged copy of a file: each kind of damage in turn, some twice over. The same seed gives the same file. */
export function mutate(whole: Buffer, seed: number): { damage: string; bytes: Buffer } {
  const draw = drawsOf(seed);
  const first = damageNames[seed % damageNames.length];
  const names = draw(0, 3) === 0 ? [first, damageNames[draw(0, damageNames.length - 1)]] : [first];
  const bytes = names.reduce<Buffer>(
    (made, name) => (made.length < 8 ? made : damages[name](made, draw)),
    Buffer.from(whole),
  );
  return { damage: names.join('+'), bytes };
}
