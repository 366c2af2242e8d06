/**
 * Edges of a reduced picture and what they vote for, as `votePlainly` of shared-lib/picture/edge-votes.ts does it, and making
 * pictures smaller, as `reducePlainly` of shared-lib/picture/grey-image.ts does it, in the same order, so that the result is the
 * same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain versions are its test.
 */
const mostPixels: i32 = 720 * 720;
const mostBins: i32 = 720;
const ofFloats: usize = (<usize>mostPixels) << 2;

const image = memory.data(720 * 720, 16);
const imageBefore = memory.data(720 * 720, 16);
/** Fields over the picture: gradients, now and a moment ago, sizes, and votes as cast, summed along rows, and along columns. */
const gx = memory.data(8 * 720 * 720 * 4, 16);
const gy: usize = gx + ofFloats;
const wasX: usize = gy + ofFloats;
const wasY: usize = wasX + ofFloats;
const sizes: usize = wasY + ofFloats;
const votes: usize = sizes + ofFloats;
const rows: usize = votes + ofFloats;
const smooth: usize = rows + ofFloats;
/** Of each edge: place, direction across it, size. */
const edgeX = memory.data(5 * 720 * 720 * 4, 16);
const edgeY: usize = edgeX + ofFloats;
const edgeUx: usize = edgeY + ofFloats;
const edgeUy: usize = edgeUx + ofFloats;
const edgeSize: usize = edgeUy + ofFloats;
const peaks = memory.data(720 * 720 * 4, 16);
const roots = memory.data(720 * 8, 16);
const bins = memory.data(720 * 4, 16);

const leastSize: f64 = 3;
const fullSize: f64 = 12;
const sameEdge: f64 = 0.6;
const smoothed: i32 = 2;
const leastRadial: f64 = 0.94;

export function edgeVotesMost(): i32 {
  return mostPixels;
}
export function edgeVotesMostBins(): i32 {
  return mostBins;
}
export function edgeVotesImageAt(): usize {
  return image;
}
export function edgeVotesBeforeAt(): usize {
  return imageBefore;
}
export function edgeVotesFieldAt(): usize {
  return smooth;
}
export function edgeVotesPeaksAt(): usize {
  return peaks;
}
export function edgeVotesBinsAt(): usize {
  return bins;
}

function grey(at: usize): i32 {
  return <i32>load<u8>(at);
}
function float(field: usize, at: i32): f64 {
  return <f64>load<f32>(field + (at << 2));
}
function put(field: usize, at: i32, value: f64): void {
  store<f32>(field + (at << 2), <f32>value);
}

function gradients(from: usize, width: i32, height: i32, toX: usize, toY: usize): void {
  const bytes = (width * height) << 2;
  memory.fill(toX, 0, bytes);
  memory.fill(toY, 0, bytes);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      const above = from + at - width;
      const here = from + at;
      const below = from + at + width;
      const nw = grey(above - 1);
      const ne = grey(above + 1);
      const sw = grey(below - 1);
      const se = grey(below + 1);
      put(toX, at, <f64>(ne + 2 * grey(here + 1) + se - nw - 2 * grey(here - 1) - sw) / 8);
      put(toY, at, <f64>(sw + 2 * grey(below) + se - nw - 2 * grey(above) - ne) / 8);
    }
  }
}

/** As the language rounds: halves upward. */
function rounded(x: f64): i32 {
  const up = Math.ceil(x);
  return <i32>(up - 0.5 > x ? up - 1 : up);
}

function isNew(x: f64, y: f64, at: i32, width: i32): bool {
  const least = sameEdge * sameEdge * (x * x + y * y);
  for (let dy = -width; dy <= width; dy += width) {
    for (let dx = -1; dx <= 1; dx++) {
      const was = at + dx + dy;
      const awayX = float(wasX, was) - x;
      const awayY = float(wasY, was) - y;
      if (awayX * awayX + awayY * awayY < least) return false;
    }
  }
  return true;
}

/** How many edges there are. */
export function edgeVotesEdges(width: i32, height: i32, hasBefore: i32): i32 {
  gradients(image, width, height, gx, gy);
  if (hasBefore) gradients(imageBefore, width, height, wasX, wasY);
  for (let at = 0; at < width * height; at++) {
    const x = float(gx, at);
    const y = float(gy, at);
    put(sizes, at, Math.sqrt(x * x + y * y));
  }
  let count = 0;
  for (let y = 2; y < height - 2; y++) {
    for (let x = 2; x < width - 2; x++) {
      const at = y * width + x;
      const size = float(sizes, at);
      if (size < leastSize) continue;
      const ux = float(gx, at) / size;
      const uy = float(gy, at) / size;
      const onward = rounded(uy) * width + rounded(ux);
      if (!(size >= float(sizes, at + onward) && size > float(sizes, at - onward))) continue;
      if (hasBefore && !isNew(float(gx, at), float(gy, at), at, width)) continue;
      put(edgeX, count, <f64>x);
      put(edgeY, count, <f64>y);
      put(edgeUx, count, ux);
      put(edgeUy, count, uy);
      put(edgeSize, count, size);
      count++;
    }
  }
  return count;
}

function sumAlong(from: usize, lines: i32, length: i32, toLine: i32, toNext: i32, to: usize): void {
  for (let line = 0; line < lines; line++) {
    for (let x = 0; x < length; x++) {
      let sum: f64 = 0;
      const last = min<i32>(length - 1, x + smoothed);
      for (let i = max<i32>(0, x - smoothed); i <= last; i++) sum += float(from, line * toLine + i * toNext);
      put(to, line * toLine + x * toNext, sum);
    }
  }
}

function isPeak(width: i32, at: i32): bool {
  const v = load<f32>(smooth + (at << 2));
  for (let j = -width; j <= width; j += width)
    for (let i = -1; i <= 1; i++) if (load<f32>(smooth + ((at + j + i) << 2)) > v) return false;
  return true;
}

/** How many peaks the votes of so many edges have. */
export function edgeVotesCast(width: i32, height: i32, edges: i32, leastR: f64, mostR: f64): i32 {
  memory.fill(votes, 0, (width * height) << 2);
  let radii = 0;
  for (let r = leastR; r <= mostR; r += 1) store<f64>(roots + (radii++ << 3), Math.sqrt(r));
  for (let i = 0; i < edges; i++) {
    const x = float(edgeX, i);
    const y = float(edgeY, i);
    const ux = float(edgeUx, i);
    const uy = float(edgeUy, i);
    const weight = min<f64>(1, float(edgeSize, i) / fullSize);
    for (let sign: f64 = -1; sign <= 1; sign += 2) {
      for (let r = leastR, k = 0; r <= mostR; r += 1, k++) {
        const atX = x + sign * r * ux + 0.5;
        const atY = y + sign * r * uy + 0.5;
        if (atX < 0 || atY < 0 || atX >= <f64>width || atY >= <f64>height) break;
        const at = <i32>atY * width + <i32>atX;
        put(votes, at, float(votes, at) + weight / load<f64>(roots + (k << 3)));
      }
    }
  }
  sumAlong(votes, height, width, width, 1, rows);
  sumAlong(rows, width, height, 1, width, smooth);
  let count = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      if (load<f32>(smooth + (at << 2)) > 0 && isPeak(width, at)) store<i32>(peaks + (count++ << 2), at);
    }
  }
  return count;
}

/** Counts so many edges by their distance from a centre that they lie across a line from. */
export function edgeVotesBins(
  edges: i32,
  centreX: f64,
  centreY: f64,
  leastR: f64,
  mostR: f64,
  count: i32,
): void {
  memory.fill(bins, 0, count << 2);
  for (let i = 0; i < edges; i++) {
    const dx = float(edgeX, i) - centreX;
    const dy = float(edgeY, i) - centreY;
    const r = Math.sqrt(dx * dx + dy * dy);
    if (r < leastR - 1 || r > mostR + 1) continue;
    const radial = Math.abs(dx * float(edgeUx, i) + dy * float(edgeUy, i)) / r;
    if (radial < leastRadial) continue;
    const at = <i32>r;
    const share = r - <f64>at;
    put(bins, at, float(bins, at) + (1 - share));
    put(bins, at + 1, float(bins, at + 1) + share);
  }
}

/** A picture made smaller by a whole factor, its lines `stride` bytes apart, to where the image is. */
export function edgeVotesReduce(from: usize, stride: i32, factor: i32, width: i32, height: i32): void {
  const area = factor * factor;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      let line = from + y * factor * stride + x * factor;
      for (let j = 0; j < factor; j++, line += stride)
        for (let i = 0; i < factor; i++) sum += <i32>load<u8>(line + i);
      store<u8>(image + y * width + x, (2 * sum + area) / (2 * area));
    }
  }
}
