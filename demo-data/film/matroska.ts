import { tickHz } from './frame-times.ts';

/**
 * The least of Matroska (RFC 9559 for element ids; from memory) that carries raw I420 frames with a time stamp each:
 * a way to hand an encoder frames at uneven times through a pipe.
 */
const id = {
  ebml: [0x1a, 0x45, 0xdf, 0xa3],
  docType: [0x42, 0x82],
  segment: [0x18, 0x53, 0x80, 0x67],
  info: [0x15, 0x49, 0xa9, 0x66],
  timestampScale: [0x2a, 0xd7, 0xb1],
  tracks: [0x16, 0x54, 0xae, 0x6b],
  trackEntry: [0xae],
  trackNumber: [0xd7],
  trackUid: [0x73, 0xc5],
  trackType: [0x83],
  codecId: [0x86],
  video: [0xe0],
  pixelWidth: [0xb0],
  pixelHeight: [0xba],
  colourSpace: [0x2e, 0xb5, 0x24],
  cluster: [0x1f, 0x43, 0xb6, 0x75],
  timestamp: [0xe7],
  simpleBlock: [0xa3],
} as const;

/** Length as an eight-byte EBML number. */
function lengthBytes(length: number): Uint8Array {
  const bytes = new Uint8Array(8);
  new DataView(bytes.buffer).setBigUint64(0, BigInt(length) | (1n << 56n));
  return bytes;
}

function element(name: readonly number[], ...parts: Uint8Array[]): Uint8Array {
  const body = Buffer.concat(parts);
  return Buffer.concat([Uint8Array.from(name), lengthBytes(body.length), body]);
}

const text = (s: string): Uint8Array => Buffer.from(s, 'latin1');
function whole(n: number): Uint8Array {
  const bytes = new Uint8Array(8);
  new DataView(bytes.buffer).setBigUint64(0, BigInt(n));
  return bytes;
}

/** Everything before the first frame; the segment's length is left open. */
export function matroskaHead(widthPx: number, heightPx: number): Uint8Array {
  const open = Uint8Array.from([0x01, 255, 255, 255, 255, 255, 255, 255]);
  return Buffer.concat([
    element(id.ebml, element(id.docType, text('matroska'))),
    Uint8Array.from(id.segment),
    open,
    element(id.info, element(id.timestampScale, whole(1e9 / tickHz))),
    element(
      id.tracks,
      element(
        id.trackEntry,
        element(id.trackNumber, whole(1)),
        element(id.trackUid, whole(1)),
        element(id.trackType, whole(1)),
        element(id.codecId, text('V_UNCOMPRESSED')),
        element(
          id.video,
          element(id.pixelWidth, whole(widthPx)),
          element(id.pixelHeight, whole(heightPx)),
          element(id.colourSpace, text('I420')),
        ),
      ),
    ),
  ]);
}

/** One frame at a file time, as a cluster of its own. */
export function matroskaFrame(ptsS: number, frame: Uint8Array): Uint8Array {
  const blockHead = Uint8Array.from([0x81, 0, 0, 0x80]);
  return element(
    id.cluster,
    element(id.timestamp, whole(Math.round(ptsS * tickHz))),
    element(id.simpleBlock, blockHead, frame),
  );
}
