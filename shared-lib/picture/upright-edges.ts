import { fromReduced, reduceBy, type GreyImage } from './grey-image.ts';

/** A straight, nearly upright edge: x = xPx + slope (y - yPx) for y from topPx to bottomPx, displayed pixels. */
export interface UprightSegment {
  xPx: number;
  yPx: number;
  topPx: number;
  bottomPx: number;
  slope: number;
  /** One sigma of the slope from the scatter of its points. */
  slopeSigma: number;
  /** How far the edge bows to the right between its ends, px, and one sigma. */
  bowPx: number;
  bowSigmaPx: number;
}

/** Pictures are reduced to about this length. */
const workingLength = 1400;
/** Least horizontal step, grey levels across two pixels of a picture that was not softened, and the most that it may run across, as a ratio. */
const leastStep = 10;
/** A lens and a code soften edges by so much anyhow, one sigma in pixels (set by judgement). */
const usualSoftnessPx = 0.8;
const mostCross = 0.4;
/** An edge may move by this many pixels from row to row, and be missing in so many rows. */
const mostShift = 1.2;
const mostGap = 3;
/** Of the picture's height: joints of a wall's bricks are as short, and many (set by judgement). */
const leastLengthShare = 0.04;
const mostScatterPx = 0.6;

interface Chain {
  x: number[];
  y: number[];
  sign: number;
}

/**
 * Straight edges within some 20 degrees of upright, by linking points of steepest horizontal change from row to row.
 * @param softeningPx what the picture was softened by: two pixels hold less of a step then
 */
export function findUprightSegments(image: GreyImage, softeningPx = 0): UprightSegment[] {
  const factor = Math.max(1, Math.round(Math.max(image.width, image.height) / workingLength));
  const small = reduceBy(image, factor);
  const least = leastLengthShare * small.height;
  return linkRows(small, leastStep * stepLeft(softeningPx / factor))
    .flatMap((chain) => straightParts(chain, least))
    .map((part) => scaled(part, factor));
}

/**
 * What is left across two pixels of a step that was softened, as a share of what they hold of it otherwise: about as the slopes of the two
 * blurred steps in their middles, which go with one over their sigmas.
 */
const stepLeft = (softeningPx: number): number => usualSoftnessPx / Math.hypot(usualSoftnessPx, softeningPx);

function linkRows(image: GreyImage, least: number): Chain[] {
  const { width, height } = image;
  const done: Chain[] = [];
  let open: Chain[] = [];
  const column = new Int32Array(width);
  for (let y = 1; y < height - 1; y++) {
    const points = pointsOfRow(image, y, least, column);
    const taken = new Uint8Array(points.length);
    open = open.filter((chain) => {
      const lastX = chain.x[chain.x.length - 1];
      const gap = y - chain.y[chain.y.length - 1];
      const at = nearestPoint(points, taken, expectedX(chain, y), chain.sign);
      const reach = mostShift + 0.15 * gap;
      if (
        at >= 0 &&
        Math.abs(points[at].x - expectedX(chain, y)) <= reach &&
        Math.abs(points[at].x - lastX) <= mostShift * gap
      ) {
        taken[at] = 1;
        chain.x.push(points[at].x);
        chain.y.push(y);
        return true;
      }
      if (gap <= mostGap) return true;
      if (chain.x.length > 20) done.push(chain);
      return false;
    });
    points.forEach((p, i) => {
      if (!taken[i] && p.x > 2 && p.x < width - 3) open.push({ x: [p.x], y: [y], sign: p.sign });
    });
  }
  return [...done, ...open.filter((chain) => chain.x.length > 20)];
}

/** Where a chain is expected in a row: straight on from its last dozen points. */
function expectedX({ x, y }: Chain, row: number): number {
  const n = x.length;
  const k = Math.min(12, n - 1);
  if (k < 6) return x[n - 1];
  return x[n - 1] + ((x[n - 1] - x[n - 1 - k]) / (y[n - 1] - y[n - 1 - k])) * (row - y[n - 1]);
}

interface EdgePoint {
  x: number;
  sign: number;
}

/** Points of a row at which the horizontal step is greatest, to parts of a pixel, from left to right; `column` is work space. */
function pointsOfRow({ width, data }: GreyImage, y: number, least: number, column: Int32Array): EdgePoint[] {
  const points: EdgePoint[] = [];
  // Sobel's weights down the columns.
  for (let x = 0, at = y * width; x < width; x++, at++)
    column[x] = data[at - width] + 2 * data[at] + data[at + width];
  let before = column[2] - column[0];
  let here = column[3] - column[1];
  for (let x = 2; x < width - 2; x++) {
    const after = column[x + 2] - column[x];
    const size = Math.abs(here);
    if (size >= 4 * least && size > Math.abs(before) && size >= Math.abs(after)) {
      const at = y * width + x;
      const down = data[at + width - 1] + 2 * data[at + width] + data[at + width + 1];
      const up = data[at - width - 1] + 2 * data[at - width] + data[at - width + 1];
      if (Math.abs(down - up) < mostCross * size) {
        const sign = Math.sign(here);
        const [a, b, c] = [sign * before, size, sign * after];
        points.push({ x: x + (0.5 * (a - c)) / (a - 2 * b + c), sign });
      }
    }
    before = here;
    here = after;
  }
  return points;
}

function nearestPoint(points: readonly EdgePoint[], taken: Uint8Array, x: number, sign: number): number {
  let [low, high] = [0, points.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (points[middle].x < x) low = middle + 1;
    else high = middle;
  }
  let best = -1;
  for (let i = Math.max(0, low - 2); i < Math.min(points.length, low + 2); i++) {
    if (taken[i] || points[i].sign !== sign) continue;
    if (best < 0 || Math.abs(points[i].x - x) < Math.abs(points[best].x - x)) best = i;
  }
  return best;
}

/** Splits a chain where it bends most until each part is straight; parts that are too short are left out. */
function straightParts(chain: Chain, leastPx: number): UprightSegment[] {
  const n = chain.y.length;
  const length = n > 0 ? chain.y[n - 1] - chain.y[0] : 0;
  if (length < leastPx) return [];
  const line = fitLine(chain);
  if (line.scatterPx <= mostScatterPx) return [segmentOf(chain, line)];
  let at = 0;
  let most = 0;
  const first = chain.x[0];
  const slope = (chain.x[n - 1] - first) / length;
  for (let i = 1; i < n - 1; i++) {
    const away = Math.abs(chain.x[i] - first - slope * (chain.y[i] - chain.y[0]));
    if (away > most) {
      most = away;
      at = i;
    }
  }
  if (at === 0) return [];
  const part = (from: number, to: number): Chain => ({
    ...chain,
    x: chain.x.slice(from, to),
    y: chain.y.slice(from, to),
  });
  return [...straightParts(part(0, at), leastPx), ...straightParts(part(at, n), leastPx)];
}

interface Line {
  x0: number;
  y0: number;
  slope: number;
  scatterPx: number;
  square: number;
}

function fitLine({ x, y }: Chain): Line {
  const n = x.length;
  const x0 = x.reduce((s, v) => s + v, 0) / n;
  const y0 = y.reduce((s, v) => s + v, 0) / n;
  let [square, product] = [0, 0];
  for (let i = 0; i < n; i++) {
    square += (y[i] - y0) ** 2;
    product += (y[i] - y0) * (x[i] - x0);
  }
  const slope = product / square;
  const rest = x.reduce((s, v, i) => s + (v - x0 - slope * (y[i] - y0)) ** 2, 0);
  return { x0, y0, slope, scatterPx: Math.sqrt(rest / Math.max(1, n - 2)), square };
}

/** Neighbouring rows share blur and blocks of compression: so many count as one (measured on rendered clips). */
const rowsPerIndependent = 8;

function segmentOf(chain: Chain, { x0, y0, slope, scatterPx, square }: Line): UprightSegment {
  const { x, y } = chain;
  const n = y.length;
  const half = (y[n - 1] - y[0]) / 2;
  // The part of the residuals that goes with the parabola 1/3 - u², u from -1 to 1, which no line contains.
  let [along, size] = [0, 0];
  for (let i = 0; i < n; i++) {
    const u = (y[i] - y0) / half;
    const shape = 1 / 3 - u * u;
    along += shape * (x[i] - x0 - slope * (y[i] - y0));
    size += shape * shape;
  }
  const noise = Math.max(0.1, scatterPx) * Math.sqrt(rowsPerIndependent);
  return {
    xPx: x0,
    yPx: y0,
    topPx: y[0],
    bottomPx: y[n - 1],
    slope,
    slopeSigma: noise / Math.sqrt(square),
    bowPx: along / size,
    bowSigmaPx: noise / Math.sqrt(size),
  };
}

function scaled(s: UprightSegment, factor: number): UprightSegment {
  const place = (v: number): number => fromReduced(v, factor);
  return {
    xPx: place(s.xPx),
    yPx: place(s.yPx),
    topPx: place(s.topPx),
    bottomPx: place(s.bottomPx),
    slope: s.slope,
    slopeSigma: s.slopeSigma,
    bowPx: factor * s.bowPx,
    bowSigmaPx: factor * s.bowSigmaPx,
  };
}
