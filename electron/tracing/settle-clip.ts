import { range, sum } from 'd3-array';
import {
  settleByPose,
  type SettledCentre,
  type SettleOptions,
} from '../../shared-lib/camera/settle-by-pose.ts';
import { joinFace } from '../../shared-lib/camera/join-face.ts';
import {
  drawnApart,
  drawnOutBy,
  type DrawnOut,
  type ReadPicture,
} from '../../shared-lib/camera/drawn-out.ts';
import { faceSeen, type FaceSeen } from '../../shared-lib/camera/place-face.ts';
import { readOutOf } from '../../shared-lib/camera/read-out.ts';
import { showsDisc, showsDiscAnew, usuallyShown } from '../../shared-lib/camera/usually-shown.ts';
import type { CameraPose, FrameStretch, ReadOut, Rim, Trace } from '../../shared-lib/contract/trace.ts';
import { usualDiscRadiusM } from '../../shared-lib/norms/discs.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import type { DiscMotion } from '../../shared-lib/trace/disc-motion.ts';
import { steadied, viewOf, viewWithin, type DiscView } from '../../shared-lib/trace/disc-views.ts';
import { notMeasured, type DiscMeasurement } from '../../shared-lib/trace/follow-disc.ts';
import type { Position } from '../../shared-lib/trace/fuse-positions.ts';
import { stretchesWhere } from '../../shared-lib/trace/stretches.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';
import { throwIfStopped } from '../media/process.ts';
import type { Assistant } from './assistant.ts';
import { stretchOf } from './decode-stretch.ts';
import { findAgain } from './find-again.ts';

/** Share of the rays on which the outline must show, and where nothing was measured before: the disc may be elsewhere. */
const leastShown = 0.4;
const leastShownAnew = 0.7;
/** Of the frames measured before, this share must settle, or the pose is not to be trusted. */
const leastSettled = 0.8;

/** Pictures whose shapes tell the read-out time, at least where there are as many, and of how many one: before the disc is settled in all. Set by judgement. */
const fewestShapes = 60;
const oneShapeOf = 4;
/** A disc that is drawn out otherwise than it was taken to be by more than this at its rim is settled again, px. Set by judgement. */
const drawnWithinPx = 0.1;

/** Where the disc's surroundings come from: kept from the pictures as they went by, or decoded again. */
export interface PieceSource {
  /** The piece of a frame; null where none was kept. @param roomFor where so many pixels may be read to */
  piece(frame: number, roomFor?: (bytes: number) => Uint8Array): DiscView | null;
  /** Each frame's own time, seconds of file time. */
  ptsS: readonly number[];
}

/** Stretches that lack pieces are decoded again one by one up to so many, and beyond that as one. */
const mostStretches = 4;
/** Shares of the work: the pictures whose shapes are looked at first, those that are settled once more, and those in which a lost disc is looked for. */
const shares = { shapes: 0.2, again: 0.15, lost: 0.1 };
/** Views that are handed over at once. */
const perErrand = 12;
/** Stretches that lie nearer than this are one, frames. */
const joinWithin = 60;

/**
 * Measures the disc again in every picture, now that the camera's pose is known: the near face's centre itself, where
 * following gave the middle of an outline that takes in more or less of the disc's side.
 *
 * @param measurements one per frame, as followed
 * @param trace the same, assembled
 * @param views in which the disc moves least, as the first frame's camera would have them
 * @returns the measurements with their places settled, or null where the pictures do not agree with the pose
 */
export async function settleClip(
  file: string,
  decoding: DecodeOptions,
  source: PieceSource,
  measurements: readonly DiscMeasurement[],
  trace: Trace,
  { pose, views, media }: { pose: CameraPose; views: readonly DiscView[]; media: ReadPicture },
  assistant: Assistant,
  onProgress: (share: number) => void,
): Promise<DiscMeasurement[] | null> {
  const picture = { widthPx: decoding.width, heightPx: decoding.height };
  const repeats = new Set(trace.repeated);
  const turns = heldTurns(measurements);
  let face: FaceSeen | null = null;
  let readOut: ReadOut | null = null;
  let drawnIn: (DrawnOut | undefined)[] = [];
  const found = new Map<number, SettledCentre | null>();
  /** Where the disc was looked for once more and found, in pictures in which it had been lost. */
  const foundAgain = new Map<number, Rim>();
  const missing: number[] = [];
  const handedOver: { cuts: typeof waiting; answer: ReturnType<Assistant['settle']> }[] = [];
  let waiting: { i: number; cut: DiscView }[] = [];
  const rooms = new Rooms();
  const looked = range(measurements.length).filter(
    (i) => !isRepeat(i) && Number.isFinite(trace.samples[i].xPx),
  );
  const every = Math.max(1, Math.min(oneShapeOf, Math.floor(looked.length / fewestShapes)));
  await settleIn(
    looked.filter((_, n) => n % every === 0),
    0,
    shares.shapes,
  );
  readOut = readOutOf(shapes(trace.samples), media);
  drawnIn = drawnOuts(trace.samples);
  face = plainestFace(views, pose, turns, drawnIn, { picture, bow: trace.lens });
  found.clear();
  missing.length = 0;
  await settleIn(looked, shares.shapes, 1 - shares.again - shares.lost);
  for (const [from, to] of stretchesOf(missing)) {
    const stretch = stretchOf(source.ptsS, from, to);
    let i = from;
    for await (const { image } of decodeFrames(file, { ...decoding, ...stretch })) {
      if (i <= to && !found.has(i) && !isRepeat(i) && Number.isFinite(trace.samples[i].xPx))
        waiting.push({ i, cut: viewOf(image, ringAt(i), i) });
      settleHere();
      i++;
    }
  }
  await settleAgain();
  const usual = usuallyShown(
    [...found].flatMap(([i, there]) => (there && measurements[i].confidence > 0 ? [there.shownIn] : [])),
  );
  const others = new Set([...found].flatMap(([i, at]) => (at && !showsDisc(at.shownIn, usual) ? [i] : [])));
  // A picture that shows something else in the disc's place says nothing against the pose.
  const telling = [...found.keys()].filter((i) => measurements[i].confidence > 0 && !others.has(i));
  if (telling.filter(isSettled).length < leastSettled * telling.length) return null;
  for (const i of others) found.set(i, null);
  const lost = gaps();
  // Each picture is looked at onward and, where the disc is not found, back.
  const looks = 2 * sum(lost, ({ from, to }) => to - from);
  let lookedFor = 0;
  await findAgain(
    file,
    decoding,
    { ptsS: source.ptsS, pxPerM: trace.rim.aPx / usualDiscRadiusM },
    lost,
    settledPlaces(),
    (i, image, expected) => {
      onProgress(1 - shares.lost + (shares.lost * lookedFor++) / looks);
      return lookNear(i, image, expected);
    },
  );
  const settledAt = [...found].flatMap(([i, there]) => (there ? [{ i, there }] : []));
  const joined = joinFace(
    settledAt.map(({ i, there }) => ({ settled: there, yPx: placeAt(i).yPx, movedPx: movedAt(i) })),
    trace.rim.aPx,
  );
  settledAt.forEach(({ i }, k) => found.set(i, joined[k]));
  const settled: DiscMeasurement[] = [];
  for (const i of measurements.keys()) {
    // A repeat shows the picture before it, and is found again by standing still.
    const measured = isRepeat(i) ? settled[i - 1] : placed(i);
    settled.push({ ...measured, tS: measurements[i].tS });
  }
  return settled;

  /** Settles the disc in these pictures; those whose surroundings were not kept are missing. */
  async function settleIn(frames: readonly number[], fromShare: number, toShare: number): Promise<void> {
    for (const [n, i] of frames.entries()) {
      const piece = source.piece(i, (bytes) => rooms.of(waiting.length, bytes));
      const cut = piece && viewWithin(piece, decoding, ringAt(i));
      if (cut) waiting.push({ i, cut });
      else missing.push(i);
      // One at a time here while the assistant has several, until it is free again.
      if (assistant.isFree && waiting.length < perErrand) continue;
      if (assistant.isFree) {
        const views = waiting.map((each) => toSettle(each.i, each.cut));
        handedOver.push({ cuts: waiting, answer: assistant.settle({ pose, views }) });
        waiting = [];
        rooms.turn();
      }
      settleHere();
      if (n % 20 === 0) onProgress(fromShare + ((toShare - fromShare) * n) / frames.length);
      await breath(decoding.signal);
    }
    settleHere();
    for (const { cuts, answer } of handedOver.splice(0)) {
      const settledThere = await answer;
      cuts.forEach(({ i: at }, k) => found.set(at, settledThere[k]));
    }
  }

  /** Once more where the settled places say that the disc is drawn out otherwise than by the places that were followed. */
  async function settleAgain(): Promise<void> {
    const before = drawnIn;
    drawnIn = drawnOuts(measurements.map((_, i) => placed(i))).map((drawn, i) => drawn ?? before[i]);
    const isOff = (i: number): boolean => {
      const [was, is] = [before[i], drawnIn[i]];
      return was !== undefined && is !== undefined && drawnApart(was, is) * trace.rim.aPx > drawnWithinPx;
    };
    const notKept = new Set(missing);
    await settleIn(
      looked.filter((i) => isOff(i) && !notKept.has(i)),
      1 - shares.again - shares.lost,
      1 - shares.lost,
    );
  }

  /** The shapes in which the disc was found so far. */
  function shapes(places: readonly { yPx: number }[]) {
    return places.map(({ yPx }, i) => {
      const there = found.get(i);
      const tells = there && there.shown >= leastShown;
      return { tS: source.ptsS[i], yPx, tall: tells ? there.stretch : NaN, skew: tells ? there.shear : NaN };
    });
  }

  /** How the disc is drawn out in each picture by where it is in those before and after; undefined where that is not known. */
  function drawnOuts(places: readonly { xPx: number; yPx: number }[]): (DrawnOut | undefined)[] {
    return places.map((_, i) => {
      const [a, b] = [Math.max(0, i - 1), Math.min(places.length - 1, i + 1)];
      const takenS = source.ptsS[b] - source.ptsS[a];
      const speed = {
        x: (places[b].xPx - places[a].xPx) / takenS,
        y: (places[b].yPx - places[a].yPx) / takenS,
      };
      return readOut && Number.isFinite(speed.x + speed.y) ? drawnOutBy(readOut, media, speed) : undefined;
    });
  }

  function isRepeat(i: number): boolean {
    return i > 0 && repeats.has(i);
  }

  function settleHere(): void {
    for (const { i, cut } of waiting) {
      const { view, options } = toSettle(i, cut);
      found.set(i, settleByPose(view, pose, options));
    }
    waiting = [];
  }

  function isMeasured(i: number): boolean {
    return measurements[i].confidence > 0 && !foundAgain.has(i);
  }

  function isSettled(i: number): boolean {
    const there = found.get(i);
    const least = isMeasured(i) || foundAgain.has(i) ? leastShown : leastShownAnew;
    return there ? there.shown >= least : false;
  }

  /** Pictures in which the disc did not settle, where some of them were not looked at, were bridged or showed something else. */
  function gaps(): FrameStretch[] {
    const isOpen = (i: number): boolean => !isRepeat(i) && (!found.has(i) || others.has(i) || !isMeasured(i));
    const isLeftOut = (i: number): boolean =>
      trace.leftOut?.some(({ from, to }) => i >= from && i < to) ?? false;
    return stretchesWhere(measurements.length, (i) => !isSettled(i) && !isLeftOut(i)).filter(({ from, to }) =>
      range(from, to).some(isOpen),
    );
  }

  function settledPlaces(): Map<number, Position> {
    return new Map([...found.keys()].filter(isSettled).map((i) => [i, placed(i)]));
  }

  function lookNear(i: number, image: GreyImage, expected: DiscMotion): Position | null {
    if (isRepeat(i)) return null;
    const takenS = Math.abs(source.ptsS[i] - source.ptsS[i - 1] || 0);
    // What is expected is the near face's centre, and a view's ring lies about the outline's.
    const ring = {
      ...trace.rim,
      xPx: expected.xPx - pose.offset.dxPx,
      yPx: expected.yPx - pose.offset.dyPx,
    };
    const moved = { x: expected.vxPx * takenS, y: expected.vyPx * takenS };
    const { view, options } = toSettle(i, viewOf(image, ring, i), moved);
    const drawnOut = readOut ? drawnOutBy(readOut, media, { x: expected.vxPx, y: expected.vyPx }) : undefined;
    const there = settleByPose(view, pose, { ...options, drawnOut });
    if (!there || there.shown < leastShown || !showsDiscAnew(there.shownIn, usual)) return null;
    foundAgain.set(i, ring);
    found.set(i, there);
    return placed(i);
  }

  function movedAt(i: number): number {
    const { x, y } = movedPx(trace, i);
    return Math.hypot(x, y);
  }

  function placeAt(i: number): { xPx: number; yPx: number } {
    return foundAgain.get(i) ?? (isMeasured(i) ? measurements[i] : trace.samples[i]);
  }

  function ringAt(i: number): Rim {
    const { xPx, yPx } = placeAt(i);
    return { ...trace.rim, xPx, yPx };
  }

  function toSettle(
    i: number,
    cut: DiscView,
    { x, y } = movedPx(trace, i),
  ): { view: DiscView; options: SettleOptions } {
    const [view] = steadied([cut], trace, 1);
    const options = {
      picture,
      bow: trace.lens,
      smearXPx: x,
      smearYPx: y,
      face: face ?? undefined,
      turnRad: turns[i],
      drawnOut: drawnIn[i],
    };
    return { view, options };
  }

  function placed(i: number): DiscMeasurement {
    const nothing = notMeasured(measurements[i].tS);
    const there = found.get(i);
    if (!there || !isSettled(i)) return nothing;
    const at = placeAt(i);
    return {
      ...(isMeasured(i) ? measurements[i] : { ...nothing, confidence: there.shown }),
      xPx: at.xPx + there.dxPx,
      yPx: at.yPx + there.dyPx,
      varXPx2: there.varXPx2,
      varYPx2: there.varYPx2,
      covXYPx2: there.covXYPx2,
      tall: there.stretch,
      skew: there.shear,
    };
  }
}

/**
 * Where the pixels go of views that wait to be settled, for both threads to see: a clip's take half a gigabyte. While the
 * assistant has what lies in half of it the other half is filled.
 */
class Rooms {
  #filled: Uint8Array[] = [];
  #lent: Uint8Array[] = [];

  of(place: number, bytes: number): Uint8Array {
    const room = this.#filled.at(place);
    return room && room.length >= bytes
      ? room
      : (this.#filled[place] = new Uint8Array(new SharedArrayBuffer(bytes)));
  }

  /** What was filled is lent, and what was lent before is given back. */
  turn(): void {
    [this.#filled, this.#lent] = [this.#lent, this.#filled];
  }
}

/** How far the disc has turned by each picture: as it was last seen to. */
function heldTurns(measurements: readonly DiscMeasurement[]): number[] {
  let turnRad = 0;
  return measurements.map((m) => (turnRad = Number.isFinite(m.turnRad) ? m.turnRad : turnRad));
}

/** The face as the view shows it in which most of the disc's outline shows: there the least passes before it. */
function plainestFace(
  views: readonly DiscView[],
  pose: CameraPose,
  turns: readonly number[],
  drawnIn: readonly (DrawnOut | undefined)[],
  seen: Pick<SettleOptions, 'picture' | 'bow'>,
): FaceSeen | null {
  const facing = views
    .flatMap((view) => {
      const drawnOut = drawnIn[view.frame];
      const there = settleByPose(view, pose, { ...seen, smearXPx: 0, smearYPx: 0, drawnOut });
      if (!there) return [];
      const centre = { xPx: view.ring.xPx + there.dxPx, yPx: view.ring.yPx + there.dyPx };
      return [{ view, centre, turnRad: turns[view.frame], drawnOut, shown: there.shown }];
    })
    .sort((a, b) => b.shown - a.shown);
  return facing.length > 0 ? faceSeen(facing[0], facing.slice(1), pose, seen) : null;
}

/** First and last frames of the stretches to be decoded again. */
function stretchesOf(missing: readonly number[]): [from: number, to: number][] {
  const stretches: [number, number][] = [];
  for (const i of missing) {
    const last = stretches.at(-1);
    if (last && i - last[1] <= joinWithin) last[1] = i;
    else stretches.push([i, i]);
  }
  return stretches.length > mostStretches ? [[missing[0], missing[missing.length - 1]]] : stretches;
}

/** Lets messages in, so that a long stretch can be stopped. */
async function breath(signal: AbortSignal | undefined): Promise<void> {
  await new Promise((resolve) => setImmediate(resolve));
  throwIfStopped(signal);
}

/** How far the disc moves from a frame to the next, pixels. */
function movedPx({ samples }: Trace, i: number): { x: number; y: number } {
  const [a, b] = [samples[Math.max(0, i - 1)], samples[Math.min(samples.length - 1, i + 1)]];
  const x = (b.xPx - a.xPx) / 2;
  const y = (b.yPx - a.yPx) / 2;
  return Number.isFinite(x + y) ? { x, y } : { x: 0, y: 0 };
}
