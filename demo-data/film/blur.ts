/**
 * Blurs an interleaved picture in place, sigma in pixels, by passes of a three-tap kernel each way: a kernel with side
 * weight k has variance 2k, and variances of passes add. Edges repeat. Blur belongs to light, so give it linear values.
 */
export function blurPicture(
  data: Float32Array,
  widthPx: number,
  heightPx: number,
  channels: number,
  sigmaPx: number,
): void {
  if (sigmaPx <= 0) return;
  const passes = Math.max(1, Math.ceil((sigmaPx * sigmaPx) / 0.5));
  const side = (sigmaPx * sigmaPx) / passes / 2;
  const middle = 1 - 2 * side;
  const row = widthPx * channels;
  const above = new Float32Array(row);
  for (let pass = 0; pass < passes; pass++) {
    for (let start = 0; start < data.length; start += row)
      for (let c = 0; c < channels; c++) {
        const last = start + row - channels + c;
        let before = data[start + c];
        for (let i = start + c; i < last; i += channels) {
          const here = data[i];
          data[i] = middle * here + side * (before + data[i + channels]);
          before = here;
        }
        data[last] = (1 - side) * data[last] + side * before;
      }
    above.set(data.subarray(0, row));
    for (let j = 0; j < heightPx; j++) {
      const start = j * row;
      const below = j < heightPx - 1 ? start + row : start;
      for (let i = 0; i < row; i++) {
        const here = data[start + i];
        data[start + i] = middle * here + side * (above[i] + data[below + i]);
        above[i] = here;
      }
    }
  }
}
