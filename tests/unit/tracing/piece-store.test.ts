import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { PieceStore } from '../../../electron/tracing/piece-store.ts';
import type { Rim } from '../../../shared-lib/contract/trace.ts';
import { viewOf, viewWithin, type DiscView } from '../../../shared-lib/trace/disc-views.ts';

const width = 200;
const height = 120;
const picture = (seed: number) => ({
  width,
  height,
  data: Uint8Array.from({ length: width * height }, (_, k) => (k * 31 + seed * 17 + (k >> 5)) % 251),
});
const pictures = Array.from({ length: 6 }, (_, seed) => picture(seed));
const ringAt = (xPx: number, yPx: number, aPx: number): Rim => ({ xPx, yPx, aPx, bPx: aPx, thetaRad: 0 });
const rings = fc
  .tuple(
    fc.double({ min: 0, max: width - 1, noNaN: true }),
    fc.double({ min: 0, max: height - 1, noNaN: true }),
    fc.double({ min: 5, max: 40, noNaN: true }),
  )
  .map(([x, y, a]) => ringAt(x, y, a));

/** Pixels of one view that lie in the box of another, row by row. */
const withinBox = (
  view: DiscView,
  { x0Px, y0Px, image: { width: across, height: down } }: DiscView,
): Uint8Array =>
  Uint8Array.from({ length: across * down }, (_, at) => {
    const [x, y] = [x0Px + (at % across) - view.x0Px, y0Px + Math.floor(at / across) - view.y0Px];
    return view.image.data[y * view.image.width + x];
  });

describe('pieces of pictures', () => {
  it('hold the very view that the whole picture gives, from memory and from the file', () => {
    const nearby = fc.double({ min: -0.08, max: 0.08, noNaN: true });
    for (const inMemory of [0, 10_000, 1e9]) {
      fc.assert(
        fc.property(fc.array(fc.tuple(rings, nearby, nearby), { maxLength: 6 }), (discs) => {
          const store = new PieceStore({ inMemory, inFile: 1e8 });
          try {
            discs.forEach(([ring], frame) => store.keep(store, frame, pictures[frame], ring));
            discs.forEach(([ring, dx, dy], frame) => {
              const looked = { ...ring, xPx: ring.xPx + dx * ring.aPx, yPx: ring.yPx + dy * ring.aPx };
              const rooms: Uint8Array[] = [];
              const piece = store.piece(store, frame, (bytes) => (rooms[0] = new Uint8Array(bytes + 5)));
              expect(piece).not.toBeNull();
              if (inMemory === 0) expect(piece!.image.data.buffer).toBe(rooms[0].buffer);
              const view = viewWithin(piece!, { width, height }, looked)!;
              const expected = viewOf(pictures[frame], looked, frame);
              expect([view.frame, view.ring]).toEqual([frame, looked]);
              expect(withinBox(view, expected)).toEqual(expected.image.data);
            });
          } finally {
            store.close();
          }
        }),
      );
    }
  });

  it('are no answer to a ring that has outgrown them', () => {
    const store = new PieceStore();
    store.keep(store, 0, picture(0), ringAt(100, 60, 20));
    const piece = store.piece(store, 0)!;
    expect(viewWithin(piece, { width, height }, ringAt(100, 60, 26))).toBeNull();
    expect(viewWithin(piece, { width, height }, ringAt(112, 60, 20))).toBeNull();
    store.close();
  });

  it('that do not fit, or whose disc was let go, are not there', () => {
    const [one, other] = [{}, {}];
    const store = new PieceStore({ inMemory: 6000, inFile: 0 });
    store.keep(one, 0, picture(0), ringAt(100, 60, 20));
    store.keep(one, 1, picture(1), ringAt(100, 60, 20));
    expect(store.piece(one, 0)).not.toBeNull();
    expect(store.piece(one, 1)).toBeNull();
    store.keepOnly([other]);
    expect(store.piece(one, 0)).toBeNull();
    // Its room is free again.
    store.keep(other, 2, picture(2), ringAt(100, 60, 20));
    expect(store.piece(other, 2)).not.toBeNull();
    store.close();
  });
});
