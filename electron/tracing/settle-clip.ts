import {
  settleByPose,
  type SettledCentre,
  type SettleOptions,
} from '../../shared-lib/camera/settle-by-pose.ts';
import { joinFace } from '../../shared-lib/camera/join-face.ts';
import { faceSeen, type FaceSeen } from '../../shared-lib/camera/place-face.ts';
import { showsDisc, usuallyShown } from '../../shared-lib/camera/usually-shown.ts';
import type { CameraPose, Rim, Trace } from '../../shared-lib/contract/trace.ts';
import { steadied, viewOf, viewWithin, type DiscView } from '../../shared-lib/trace/disc-views.ts';
import type { DiscMeasurement } from '../../shared-lib/trace/follow-disc.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';
import { throwIfStopped } from '../media/process.ts';
import type { Assistant } from './assistant.ts';
import { stretchOf } from './decode-stretch.ts';

/** Share of the rays on which the outline must show, and where nothing was measured before: the disc may be elsewhere. */
const leastShown = 0.4;
const leastShownAnew = 0.7;
/** Of the frames measured before, this share must settle, or the pose is not to be trusted. */
const leastSettled = 0.8;

/** Where the disc's surroundings come from: kept from the pictures as they went by, or decoded again. */
export interface PieceSource {
  /** The piece of a frame, until the next is asked for; null where none was kept. */
  piece(frame: number): DiscView | null;
  /** Each frame's own time, seconds of file time. */
  ptsS: readonly number[];
}

/** Stretches that lack pieces are decoded again one by one up to so many, and beyond that as one. */
const mostStretches = 4;
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
  { pose, views }: { pose: CameraPose; views: readonly DiscView[] },
  assistant: Assistant,
  onProgress: (share: number) => void,
): Promise<DiscMeasurement[] | null> {
  const picture = { widthPx: decoding.width, heightPx: decoding.height };
  const repeats = new Set(trace.repeated);
  const turns = heldTurns(measurements);
  const face = plainestFace(views, pose, turns, { picture, bow: trace.lens });
  const found = new Map<number, SettledCentre | null>();
  const missing: number[] = [];
  const handedOver: { cuts: typeof waiting; answer: ReturnType<Assistant['settle']> }[] = [];
  let waiting: { i: number; cut: DiscView }[] = [];
  /** Where the pixels of each that waits go: a clip's cut-outs take half a gigabyte. */
  const rooms: Uint8Array[] = [];
  for (let i = 0; i < measurements.length; i++) {
    if (isRepeat(i) || !Number.isFinite(trace.samples[i].xPx)) continue;
    const piece = source.piece(i);
    const room = rooms.at(waiting.length);
    const cut = piece && viewWithin(piece, decoding, ringAt(i), room);
    if (cut && cut.image.data.length > (room?.length ?? 0)) rooms[waiting.length] = cut.image.data;
    if (cut) waiting.push({ i, cut });
    else missing.push(i);
    // One at a time here while the assistant has several, until it is free again.
    if (assistant.isFree && waiting.length < perErrand) continue;
    if (assistant.isFree) {
      const views = waiting.map((each) => toSettle(each.i, each.cut));
      handedOver.push({ cuts: waiting, answer: assistant.settle({ pose, views }) });
      waiting = [];
    }
    settleHere();
    if (i % 20 === 0) onProgress(i / measurements.length);
    await breath(decoding.signal);
  }
  settleHere();
  for (const { cuts, answer } of handedOver) {
    const settledThere = await answer;
    cuts.forEach(({ i: at }, k) => found.set(at, settledThere[k]));
  }
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
  const usual = usuallyShown(
    [...found].flatMap(([i, there]) => (there && measurements[i].confidence > 0 ? [there.shownIn] : [])),
  );
  const isOther = (i: number): boolean => {
    const there = found.get(i);
    return there ? !showsDisc(there.shownIn, usual) : false;
  };
  const settledAt = [...found].flatMap(([i, there]) => (there ? [{ i, there }] : []));
  const joined = joinFace(
    settledAt.map(({ i, there }) => ({ settled: there, yPx: placeAt(i).yPx, movedPx: movedAt(i) })),
    trace.rim.aPx,
  );
  settledAt.forEach(({ i }, k) => found.set(i, joined[k]));
  const places = new Map([...found].map(([i, there]) => [i, isOther(i) ? null : placed(i, there)]));
  const settled: DiscMeasurement[] = [];
  for (const [i, measured] of measurements.entries()) {
    // A repeat shows the picture before it, and is found again by standing still.
    if (isRepeat(i)) settled.push({ ...settled[i - 1], tS: measured.tS });
    else settled.push(places.get(i) ?? { ...measured, xPx: NaN, yPx: NaN, confidence: 0 });
  }
  // A picture that shows something else in the disc's place says nothing against the pose.
  const before = measurements.filter((m, i) => m.confidence > 0 && !repeats.has(i) && !isOther(i)).length;
  const kept = measurements.filter((m, i) => m.confidence > 0 && places.get(i)).length;
  return kept >= leastSettled * before ? settled : null;

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

  function movedAt(i: number): number {
    const { x, y } = movedPx(trace, i);
    return Math.hypot(x, y);
  }

  function placeAt(i: number): { xPx: number; yPx: number } {
    return measurements[i].confidence > 0 ? measurements[i] : trace.samples[i];
  }

  function ringAt(i: number): Rim {
    const { xPx, yPx } = placeAt(i);
    return { ...trace.rim, xPx, yPx };
  }

  function toSettle(i: number, cut: DiscView): { view: DiscView; options: SettleOptions } {
    const [view] = steadied([cut], trace, 1);
    const { x, y } = movedPx(trace, i);
    const options = {
      picture,
      bow: trace.lens,
      smearXPx: x,
      smearYPx: y,
      face: face ?? undefined,
      turnRad: turns[i],
    };
    return { view, options };
  }

  function placed(i: number, there: SettledCentre | null): DiscMeasurement | null {
    const measured = measurements[i];
    const isMeasured = measured.confidence > 0;
    const at = placeAt(i);
    if (!there || there.shown < (isMeasured ? leastShown : leastShownAnew)) return null;
    return {
      ...measured,
      xPx: at.xPx + there.dxPx,
      yPx: at.yPx + there.dyPx,
      varXPx2: there.varXPx2,
      varYPx2: there.varYPx2,
      covXYPx2: there.covXYPx2,
      confidence: isMeasured ? measured.confidence : there.shown,
    };
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
  seen: Pick<SettleOptions, 'picture' | 'bow'>,
): FaceSeen | null {
  const facing = views
    .flatMap((view) => {
      const there = settleByPose(view, pose, { ...seen, smearXPx: 0, smearYPx: 0 });
      if (!there) return [];
      const centre = { xPx: view.ring.xPx + there.dxPx, yPx: view.ring.yPx + there.dyPx };
      return [{ view, centre, turnRad: turns[view.frame], shown: there.shown }];
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
