import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import type { FrameStretch } from '../../shared-lib/contract/trace.ts';
import type { ScannedStretch } from '../../shared-lib/trace/key-frame-scan.ts';
import type { Stretch } from '../media/arguments.ts';

/** Which frames of a clip are decoded and looked at, where not all are. */
export interface Schedule {
  /** Of all frames, seconds of file time. */
  ptsS: readonly number[];
  /** In time order, each beginning with a key frame. */
  looked: readonly FrameStretch[];
}

/** A stamp that is told twice may be rounded in two ways, seconds. */
const sameTimeS = 3e-4;
export const isSameTime = (one: number, other: number): boolean => Math.abs(one - other) < sameTimeS;

/** The frames at times, both ascending; a time at which there is none is left out. */
export function framesAt(ptsS: readonly number[], timesS: readonly number[]): number[] {
  const frames: number[] = [];
  let frame = 0;
  for (const timeS of timesS) {
    while (frame < ptsS.length && ptsS[frame] < timeS - sameTimeS) frame++;
    if (frame < ptsS.length && isSameTime(ptsS[frame], timeS)) frames.push(frame);
  }
  return frames;
}

/**
 * The schedule that leaves stretches out.
 * @param ptsS of all pictures, as the container tells them
 * @returns null where it cannot be told which frames those hold: then all are looked at
 */
export function scheduleWithout(
  leftOut: readonly ScannedStretch[],
  ptsS: readonly number[] | undefined,
  { declaredFrames }: Pick<MediaInfo, 'declaredFrames'>,
): Schedule | null {
  if (leftOut.length === 0 || ptsS?.length !== declaredFrames) return null;
  const looked: FrameStretch[] = [];
  let from = 0;
  for (const { fromS, toS } of leftOut) {
    const until = firstAt(ptsS, fromS);
    if (until > from) looked.push({ from, to: until });
    from = firstAt(ptsS, toS);
  }
  if (from < ptsS.length) looked.push({ from, to: ptsS.length });
  return { ptsS, looked };
}

/** The first frame at a time or after it; one beyond the last where there is none. */
function firstAt(ptsS: readonly number[], timeS: number): number {
  const first = ptsS.findIndex((t) => t > timeS - sameTimeS);
  return first < 0 ? ptsS.length : first;
}

/**
 * What to ask the decoder for. A stretch begins at its key frame's own time: a little before it the decoder would begin with
 * the key frame before that one.
 */
export const decodedStretches = ({ ptsS, looked }: Schedule): Stretch[] =>
  looked.map(({ from, to }) => ({
    ...(from === 0 ? {} : { fromS: ptsS[from] }),
    ...(to === ptsS.length ? {} : { toS: (ptsS[to - 1] + ptsS[to]) / 2 }),
  }));

/** Frames that are not looked at, in time order. */
export function leftOutOf({ ptsS, looked }: Schedule): FrameStretch[] {
  const edges = [0, ...looked.flatMap(({ from, to }) => [from, to]), ptsS.length];
  const stretches = Array.from({ length: edges.length / 2 }, (_, k) => ({
    from: edges[2 * k],
    to: edges[2 * k + 1],
  }));
  return stretches.filter(({ from, to }) => to > from);
}

/** One entry for each frame, from one for each frame that was looked at; as far as those go. */
export function overAllFrames<T>(
  looked: readonly T[],
  schedule: Schedule,
  missing: (ptsS: number) => T,
): T[] {
  const all: T[] = [];
  let next = 0;
  for (const stretch of schedule.looked) {
    while (all.length < stretch.from) all.push(missing(schedule.ptsS[all.length]));
    while (all.length < stretch.to) {
      if (next === looked.length) return all;
      all.push(looked[next++]);
    }
  }
  while (all.length < schedule.ptsS.length) all.push(missing(schedule.ptsS[all.length]));
  return all;
}

/** The frames that are looked at. */
export const framesOf = ({ looked }: Schedule): number[] =>
  looked.flatMap(({ from, to }) => Array.from({ length: to - from }, (_, k) => from + k));

/** How long a clip is without what is left out, seconds. */
export const lookedAt = ({ ptsS, looked }: Schedule): number =>
  looked.reduce((sum, { from, to }) => sum + ptsS[to - 1] - ptsS[from], 0);

/** How far apart a disc that rested may be found before and after a stretch that was left out: pixels, and of its radius. */
const restsWithinPx = 2;
const restsWithinRadii = 0.03;
/** Pictures at each side of it of which one must show the disc. */
const atEdge = 15;

/** Whether the disc is where it was after each stretch that was left out. */
export function restsAcross(
  measurements: readonly { xPx: number; yPx: number; confidence: number }[],
  { looked }: Pick<Schedule, 'looked'>,
  { aPx }: { aPx: number },
): boolean {
  let cut = 0;
  return looked.slice(0, -1).every(({ from, to }) => {
    cut += to - from;
    const before = measurements.slice(Math.max(0, cut - atEdge), cut).findLast((m) => m.confidence > 0);
    const after = measurements.slice(cut, cut + atEdge).find((m) => m.confidence > 0);
    if (!before || !after) return false;
    const apartPx = Math.hypot(after.xPx - before.xPx, after.yPx - before.yPx);
    return apartPx <= Math.max(restsWithinPx, restsWithinRadii * aPx);
  });
}
