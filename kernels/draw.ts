/**
 * What each of thousands of draws of a rep does over and over: normals as `seededRandom` of shared-lib/motion/random.ts draws
 * them, a smoothed motion measured again as `remeasurePlainly` of shared-lib/motion/remeasure.ts does it, both coordinates in
 * the two lanes, and the error sources taken back as `takeBackPlainly` of shared-lib/pair/apply-sources.ts does it: each in the
 * same order, so that the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain versions
 * are its test.
 */
import { cos, log, sin } from './engine';

/** Samples of a motion at most, measured ones and ones on its even time base. */
const most: i32 = 2048;
/** Smoothed motions whose figures are held at once: of a pair, each rep at three strengths. */
const slots: i32 = 6;

/** Of a generator: its state, four words; whether a normal is left over, and that normal. */
const generator = memory.data(4 * 4 + 8 + 8, 16);
const normals = memory.data((8 * 2048 + 2) * 8, 16);
/** Of each pair of normals its point's distance from the middle, squared. */
const squares = memory.data((4 * 2048 + 1) * 8, 16);

/** Of each sample: what leads to the next, six figures of the slow error among them, and whether it was measured; alike for both coordinates. */
const ofStep: usize = 10 * 8;
/** Of each sample, in pairs: position, noise, four gains, the innovation, three rows of its covariance. */
const ofPair: usize = (1 + 1 + 4 + 1 + 12) * 16;
/** Of each sample on the even base: twelve weights. */
const ofBase: usize = 12 * 8;

const slotBytes: usize = <usize>most * (ofStep + ofPair + ofBase + 4);
const memoryOfSlots = memory.data(6 * 2048 * (10 * 8 + 19 * 16 + 12 * 8 + 4), 16);

/** States of both coordinates, four pairs a sample, and surprises. */
const states = memory.data(2048 * 4 * 16, 16);
const surprises = memory.data(2048 * 16, 16);

/** Two motions: right, up and their velocities, so many values each. */
const motionIn = memory.data(4 * 2048 * 8, 16);
const motionOut = memory.data(4 * 2048 * 8, 16);
/** As in the plain code. */
const smallTurnRad: f64 = 0.1;
const column: usize = (<usize>most) << 3;
const sources = memory.data(28 * 8, 16);
/** Where the bar was when each picture was taken, and how fast; and the run-out then. */
const places = memory.data(2048 * 32, 16);
const turns = memory.data(2048 * 16, 16);

export function drawMost(): i32 {
  return most;
}
export function drawSlots(): i32 {
  return slots;
}
export function drawGeneratorAt(): usize {
  return generator;
}
export function drawNormalsAt(): usize {
  return normals;
}
export function drawSlotsAt(): usize {
  return memoryOfSlots;
}
export function drawMotionsAt(): usize {
  return motionIn;
}
export function drawMovedAt(): usize {
  return motionOut;
}
export function drawSourcesAt(): usize {
  return sources;
}

let s0: u64 = 0;
let s1: u64 = 0;

/** One word of xoroshiro128+ (Blackman & Vigna 2018, its constants from memory), the lower half. */
function next(): u32 {
  const word = <u32>(s0 + s1);
  const a = s0 ^ s1;
  s0 = rotl<u64>(s0, 24) ^ a ^ (a << 16);
  s1 = rotl<u64>(a, 37);
  return word;
}

function uniform(): f64 {
  const high = next() & 0x3ffffff;
  const low = next() & 0x7ffffff;
  return <f64>high * 1.4901161193847656e-8 + <f64>low * 1.1102230246251565e-16;
}

export function drawNormals(count: i32): void {
  s0 = load<u64>(generator);
  s1 = load<u64>(generator, 8);
  let from = normals;
  let left = count;
  if (load<f64>(generator, 16) != 0 && count > 0) {
    store<f64>(normals, load<f64>(generator, 24));
    store<f64>(generator, 0, 16);
    from += 8;
    left--;
  }
  const pairs = (left + 1) >> 1;
  // A point that is not taken is written over by the next: no branch that nobody could foretell.
  for (let k = 0; k < pairs;) {
    const u = 2 * uniform() - 1;
    const v = 2 * uniform() - 1;
    const s = u * u + v * v;
    const to = from + (k << 4);
    store<f64>(to, u);
    store<f64>(to, v, 8);
    store<f64>(squares + (k << 3), s);
    k += (<i32>(s > 0)) & (<i32>(s < 1));
  }
  for (let k = 0; k < pairs; k++) {
    const s = load<f64>(squares + (k << 3));
    const scale = Math.sqrt((-2 * log(s)) / s);
    const to = from + (k << 4);
    store<f64>(to, load<f64>(to) * scale);
    store<f64>(to, load<f64>(to, 8) * scale, 8);
  }
  if (left & 1) {
    store<f64>(generator, 1, 16);
    store<f64>(generator, load<f64>(from + (left << 3)), 24);
  }
  store<u64>(generator, s0);
  store<u64>(generator, s1, 8);
}

function lanes(x: f64, y: f64): v128 {
  return f64x2.replace_lane(f64x2.splat(x), 1, y);
}

/**
 * One smoothed motion measured again, from normals as they lie there: of each coordinate those of its slow error, then its noise.
 * @param measured samples of `n` that are measured
 */
export function drawRemeasured(slot: i32, n: i32, measured: i32, slowM: f64, scaleX: f64, scaleY: f64): void {
  const steps = memoryOfSlots + <usize>slot * slotBytes;
  const pairs = steps + <usize>most * ofStep;
  const slow = f64x2.splat(slowM);
  const scale = lanes(scaleX, scaleY);
  let zx = normals;
  let zy = normals + ((2 * n + measured) << 3);
  let noiseX = zx + (n << 4);
  let noiseY = zy + (n << 4);
  let p = lanes(load<f64>(zx), load<f64>(zy));
  let v = lanes(load<f64>(zx, 8), load<f64>(zy, 8));
  let a0 = f64x2.splat(0);
  let a1 = f64x2.splat(0);
  let a2 = f64x2.splat(0);
  let a3 = f64x2.splat(0);
  let isFirst = true;
  // The first measured sample's place is where the first sample is taken to be: it has to be known before.
  for (let i = 0; i < n; i++) {
    const step = steps + <usize>i * ofStep;
    const pair = pairs + <usize>i * ofPair;
    if (load<f64>(step, 72) != 0) {
      const z = lanes(load<f64>(noiseX), load<f64>(noiseY));
      noiseX += 8;
      noiseY += 8;
      const y = f64x2.add(
        f64x2.div(f64x2.add(v128.load(pair), f64x2.mul(slow, p)), scale),
        f64x2.mul(v128.load(pair, 16), z),
      );
      if (isFirst) a0 = y;
      isFirst = false;
      v128.store(surprises + (i << 4), y);
    }
    if (i + 1 == n) break;
    zx += 16;
    zy += 16;
    const z0 = lanes(load<f64>(zx), load<f64>(zy));
    const z1 = lanes(load<f64>(zx, 8), load<f64>(zy, 8));
    const before = p;
    p = f64x2.add(
      f64x2.add(f64x2.mul(v128.load_splat<f64>(step, 24), p), f64x2.mul(v128.load_splat<f64>(step, 32), v)),
      f64x2.mul(v128.load_splat<f64>(step, 48), z0),
    );
    v = f64x2.add(
      f64x2.add(
        f64x2.add(
          f64x2.mul(f64x2.neg(v128.load_splat<f64>(step, 32)), before),
          f64x2.mul(v128.load_splat<f64>(step, 40), v),
        ),
        f64x2.mul(v128.load_splat<f64>(step, 56), z0),
      ),
      f64x2.mul(v128.load_splat<f64>(step, 64), z1),
    );
  }
  for (let i = 0; i < n; i++) {
    const step = steps + <usize>i * ofStep;
    const pair = pairs + <usize>i * ofPair;
    const state = states + <usize>(i << 6);
    v128.store(state, a0);
    v128.store(state, a1, 16);
    v128.store(state, a2, 32);
    let surprise = f64x2.splat(0);
    if (load<f64>(step, 72) != 0) surprise = f64x2.sub(f64x2.sub(v128.load(surprises + (i << 4)), a0), a3);
    v128.store(surprises + (i << 4), surprise);
    if (i + 1 == n) break;
    const h = v128.load_splat<f64>(step);
    const half = v128.load_splat<f64>(step, 8);
    a0 = f64x2.add(a0, f64x2.mul(v128.load(pair, 32), surprise));
    a1 = f64x2.add(a1, f64x2.mul(v128.load(pair, 48), surprise));
    a2 = f64x2.add(a2, f64x2.mul(v128.load(pair, 64), surprise));
    a3 = f64x2.add(a3, f64x2.mul(v128.load(pair, 80), surprise));
    a0 = f64x2.add(f64x2.add(a0, f64x2.mul(h, a1)), f64x2.mul(half, a2));
    a1 = f64x2.add(a1, f64x2.mul(h, a2));
    a3 = f64x2.mul(v128.load_splat<f64>(step, 16), a3);
  }
  let r0 = f64x2.splat(0);
  let r1 = f64x2.splat(0);
  let r2 = f64x2.splat(0);
  let r3 = f64x2.splat(0);
  for (let i = n - 1; i >= 0; i--) {
    const step = steps + <usize>i * ofStep;
    const pair = pairs + <usize>i * ofPair;
    const state = states + <usize>(i << 6);
    if (i + 1 < n) {
      const h = v128.load_splat<f64>(step);
      r2 = f64x2.add(r2, f64x2.add(f64x2.mul(v128.load_splat<f64>(step, 8), r0), f64x2.mul(h, r1)));
      r1 = f64x2.add(r1, f64x2.mul(h, r0));
      r3 = f64x2.mul(r3, v128.load_splat<f64>(step, 16));
    }
    if (load<f64>(step, 72) != 0) {
      const back = f64x2.add(
        f64x2.add(
          f64x2.add(f64x2.mul(v128.load(pair, 32), r0), f64x2.mul(v128.load(pair, 48), r1)),
          f64x2.mul(v128.load(pair, 64), r2),
        ),
        f64x2.mul(v128.load(pair, 80), r3),
      );
      const error = f64x2.sub(f64x2.div(v128.load(surprises + (i << 4)), v128.load(pair, 96)), back);
      r0 = f64x2.add(r0, error);
      r3 = f64x2.add(r3, error);
    }
    for (let c: usize = 0; c < 3; c++) {
      const row = pair + 112 + (c << 6);
      const at = state + (c << 4);
      const moved = f64x2.add(
        f64x2.add(
          f64x2.add(f64x2.mul(v128.load(row), r0), f64x2.mul(v128.load(row, 16), r1)),
          f64x2.mul(v128.load(row, 32), r2),
        ),
        f64x2.mul(v128.load(row, 48), r3),
      );
      v128.store(at, f64x2.mul(f64x2.add(v128.load(at), moved), scale));
    }
  }
}

/** The motion on the even base, samples [first, first + count) of it, from the states. */
export function drawOnBase(slot: i32, first: i32, count: i32, unitS: f64): void {
  const weights = memoryOfSlots + <usize>slot * slotBytes + <usize>most * (ofStep + ofPair);
  const samples = weights + <usize>most * ofBase;
  const unit = f64x2.splat(unitS);
  for (let i = first; i < first + count; i++) {
    const w = weights + <usize>i * ofBase;
    const state = states + ((<usize>load<i32>(samples + (i << 2))) << 6);
    let place = f64x2.splat(0);
    let speed = f64x2.splat(0);
    for (let k: usize = 0; k < 6; k++) {
      const at = v128.load(state + (k < 3 ? k << 4 : (k + 1) << 4));
      place = f64x2.add(place, f64x2.mul(v128.load_splat<f64>(w + (k << 3)), at));
      speed = f64x2.add(speed, f64x2.mul(v128.load_splat<f64>(w + (k << 3), 48), at));
    }
    speed = f64x2.div(speed, unit);
    const to = motionIn + (i << 3);
    store<f64>(to, f64x2.extract_lane(place, 0));
    store<f64>(to + column, f64x2.extract_lane(place, 1));
    store<f64>(to + 2 * column, f64x2.extract_lane(speed, 0));
    store<f64>(to + 3 * column, f64x2.extract_lane(speed, 1));
  }
}

function source(k: i32): f64 {
  return load<f64>(sources + (k << 3));
}

/** Between a sample and the next, the column and the one after it. */
function between(at: usize, first: v128, second: v128): v128 {
  return f64x2.add(
    f64x2.mul(first, lanes(load<f64>(at), load<f64>(at + column))),
    f64x2.mul(second, lanes(load<f64>(at, 8), load<f64>(at + column, 8))),
  );
}

/** Turned by the camera's roll: what right becomes, and what up does. */
function rolled(what: v128, toRight: v128, toUp: v128): v128 {
  return f64x2.add(
    f64x2.mul(toRight, f64x2.splat(f64x2.extract_lane(what, 0))),
    f64x2.mul(toUp, f64x2.splat(f64x2.extract_lane(what, 1))),
  );
}

/** The motion that lies there with the sources taken back; these in the order in which `TakenBack` has them. */
export function drawTakenBack(n: i32): void {
  const t0S = source(0);
  const dtS = source(1);
  const kX = source(2);
  const kY = source(3);
  const jitter = source(4);
  const omega = source(5);
  let sinT = source(6);
  let cosT = source(7);
  const sinStep = source(8);
  const cosStep = source(9);
  const cosR = source(10);
  const sinR = source(11);
  const scale = source(12);
  const stretch = source(13);
  const leak = source(14);
  const nearer = source(15);
  const nearerX = source(16);
  const turnPerM = source(17);
  const runOutM = source(18);
  const runOutPhaseRad = source(19);
  const axisHeightM = source(20);
  const sidewaysTravelM = source(21);
  const sideways = source(22);
  const startXM = source(23);
  const startYM = source(24);
  const startS = source(25);
  const perDuration = source(26);
  const perStep = source(27);
  const start = lanes(startXM, startYM);
  const axis = lanes(0, axisHeightM);
  const scales = f64x2.splat(scale);
  const toRight = lanes(cosR, sinR);
  const toUp = lanes(-sinR, cosR);
  let phi: f64 = NaN;
  let sinPhi: f64 = NaN;
  let cosPhi: f64 = NaN;
  const last = <f64>(n - 1);
  // In three rounds: what one sample waits for is too long to look far ahead meanwhile.
  for (let i = 0; i < n; i++) {
    const from = motionIn + (i << 3);
    const lateBy =
      kX * (load<f64>(from) - startXM) + kY * (load<f64>(from + column) - startYM) + jitter * sinT;
    const lateRate =
      kX * load<f64>(from + 2 * column) + kY * load<f64>(from + 3 * column) + jitter * omega * cosT;
    const rate = 1 / (1 + lateRate);
    const turned = sinT * cosStep + cosT * sinStep;
    cosT = cosT * cosStep - sinT * sinStep;
    sinT = turned;
    const at = min<f64>(max<f64>(<f64>i - lateBy * rate * perStep, 0), last);
    // Where the bar is lost nothing is known, whichever samples are looked at.
    const isLost = at != at;
    const k = isLost ? i : min<i32>(<i32>Math.floor(at), n - 2);
    const f = isLost ? at : at - <f64>k;
    const there = motionIn + (k << 3);
    const first = f64x2.splat(1 - f);
    const second = f64x2.splat(f);
    const place = f64x2.sub(between(there, first, second), start);
    const speed = f64x2.mul(between(there + 2 * column, first, second), f64x2.splat(rate));
    v128.store(places + (i << 5), place);
    v128.store(places + (i << 5), speed, 16);
  }
  for (let i = 0; i < n; i++) {
    const phiNow = runOutPhaseRad + turnPerM * load<f64>(places + (i << 5), 8);
    const d = phiNow - phi;
    if (Math.abs(d) < smallTurnRad) {
      const d2 = d * d;
      const sinD = d * (1 - d2 * (1.0 / 6.0) * (1 - d2 * (1.0 / 20.0) * (1 - d2 * (1.0 / 42.0))));
      const cosD = 1 - d2 * 0.5 * (1 - d2 * (1.0 / 12.0) * (1 - d2 * (1.0 / 30.0) * (1 - d2 * (1.0 / 56.0))));
      const sinNow = sinPhi * cosD + cosPhi * sinD;
      cosPhi = cosPhi * cosD - sinPhi * sinD;
      sinPhi = sinNow;
    } else {
      sinPhi = sin(phiNow);
      cosPhi = cos(phiNow);
    }
    phi = phiNow;
    v128.store(turns + (i << 4), lanes(runOutM * cosPhi, runOutM * sinPhi));
  }
  for (let i = 0; i < n; i++) {
    const t = t0S + <f64>i * dtS;
    let place = v128.load(places + (i << 5));
    let speed = v128.load(places + (i << 5), 16);
    const y = f64x2.extract_lane(place, 1);
    const vy = f64x2.extract_lane(speed, 1);
    const progress = min<f64>(max<f64>((t - startS) * perDuration, 0), 1);
    const travel = progress * progress * (3 - 2 * progress);
    const travelRate = 6 * progress * (1 - progress) * perDuration;
    const z = sideways * y + sidewaysTravelM * travel;
    const vz = sideways * vy + sidewaysTravelM * travelRate;

    const runOut = v128.load(turns + (i << 4));
    const cosP = f64x2.extract_lane(runOut, 0);
    const sinP = f64x2.extract_lane(runOut, 1);
    place = f64x2.sub(place, runOut);
    speed = f64x2.add(speed, f64x2.mul(lanes(sinP, -cosP), f64x2.splat(turnPerM * vy)));

    place = f64x2.sub(rolled(place, toRight, toUp), axis);
    speed = rolled(speed, toRight, toUp);

    const xr = f64x2.extract_lane(place, 0);
    const magnify = 1 + nearer * z + nearerX * xr;
    const magnifyRate = nearer * vz + nearerX * f64x2.extract_lane(speed, 0);
    const seen = f64x2.add(f64x2.mul(lanes(stretch * magnify, magnify), place), lanes(leak * z, axisHeightM));
    const shown = f64x2.add(start, f64x2.mul(scales, seen));
    const rates = f64x2.add(
      f64x2.mul(f64x2.splat(magnify), speed),
      f64x2.mul(f64x2.splat(magnifyRate), place),
    );
    const to = motionOut + (i << 3);
    store<f64>(to, f64x2.extract_lane(shown, 0));
    store<f64>(to + column, f64x2.extract_lane(shown, 1));
    store<f64>(to + 2 * column, scale * (stretch * f64x2.extract_lane(rates, 0) + leak * vz));
    store<f64>(to + 3 * column, scale * f64x2.extract_lane(rates, 1));
  }
}
