/**
 * Counting edges by their distance from a centre, as `countPlainly` of shared-lib/camera/ring-count.ts does it, two roots at
 * once, so that the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostEdges: i32 = 24576;
const mostBins: i32 = 512;

const right = memory.data(3 * 24576 * 8, 16);
const down: usize = right + (mostEdges << 3);
const weight: usize = down + (mostEdges << 3);
const shown = memory.data(512 * 8, 16);

export function ringEdgesAt(): usize {
  return right;
}
export function ringShownAt(): usize {
  return shown;
}
export function mostRingEdges(): i32 {
  return mostEdges;
}
export function mostRingBins(): i32 {
  return mostBins;
}

function count(i: i32, at: f64, bins: i32): void {
  if (!(at >= 0 && at < <f64>bins)) return;
  const bin = <i32>at;
  const to = shown + (bin << 3);
  const w = load<f64>(weight + (i << 3));
  store<f64>(to, load<f64>(to) + w * (<f64>(bin + 1) - at));
  store<f64>(to, load<f64>(to, 8) + w * (at - <f64>bin), 8);
}

export function ringCount(
  size: i32,
  shiftRight: f64,
  shiftDown: f64,
  least: f64,
  binShare: f64,
  bins: i32,
): void {
  memory.fill(shown, 0, (bins + 1) << 3);
  const sx = f64x2.splat(shiftRight);
  const sy = f64x2.splat(shiftDown);
  const from = f64x2.splat(least);
  const each = f64x2.splat(binShare);
  for (let i = 0; i < size; i += 2) {
    const x = f64x2.sub(v128.load(right + (i << 3)), sx);
    const y = f64x2.sub(v128.load(down + (i << 3)), sy);
    const radius = f64x2.sqrt(f64x2.add(f64x2.mul(x, x), f64x2.mul(y, y)));
    const at = f64x2.div(f64x2.sub(radius, from), each);
    count(i, f64x2.extract_lane(at, 0), bins);
    if (i + 1 < size) count(i + 1, f64x2.extract_lane(at, 1), bins);
  }
}
