/** A picture as three planes, luma at full and chroma at half size each way, 8-bit limited range as numbers. */
export interface Planes<T extends Float32Array | Uint8ClampedArray> {
  widthPx: number;
  heightPx: number;
  y: T;
  u: T;
  v: T;
}

export function floatPlanes(widthPx: number, heightPx: number): Planes<Float32Array> {
  const quarter = (widthPx * heightPx) / 4;
  return {
    widthPx,
    heightPx,
    y: new Float32Array(widthPx * heightPx),
    u: new Float32Array(quarter),
    v: new Float32Array(quarter),
  };
}

/** Planes over one run of bytes, as ffmpeg reads and writes them (yuv420p): luma, then both chromas. */
export function bytePlanes(bytes: Uint8Array, widthPx: number, heightPx: number): Planes<Uint8ClampedArray> {
  const luma = widthPx * heightPx;
  const plane = (from: number, size: number): Uint8ClampedArray =>
    new Uint8ClampedArray(bytes.buffer, bytes.byteOffset + from, size);
  return {
    widthPx,
    heightPx,
    y: plane(0, luma),
    u: plane(luma, luma / 4),
    v: plane((luma * 5) / 4, luma / 4),
  };
}
