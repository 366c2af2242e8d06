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
