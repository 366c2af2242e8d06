import { availableParallelism } from 'node:os';
import { median } from 'd3-array';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { fewestViews, fitCameraPose } from '../../shared-lib/camera/camera-pose.ts';
import { lensBow, unbent } from '../../shared-lib/camera/lens-bow.ts';
import { readOutOf } from '../../shared-lib/camera/read-out.ts';
import { rimOfPose } from '../../shared-lib/camera/rim-of-pose.ts';
import { usualFocalPx } from '../../shared-lib/norms/phones.ts';
import type { Calibration, MediaInfo } from '../../shared-lib/contract/clip.ts';
import type { TracedPoints } from '../../shared-lib/contract/desk.ts';
import type { CameraPose, Rim, Trace } from '../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../shared-lib/motion/random.ts';
import type { Box } from '../../shared-lib/picture/corners.ts';
import { grainOf, softeningPx } from '../../shared-lib/picture/grain.ts';
import { assembleTrace } from '../../shared-lib/trace/assemble-trace.ts';
import { settleCameraMotion } from '../../shared-lib/trace/camera-motion-settle.ts';
import { nearDisc } from '../../shared-lib/trace/near-disc.ts';
import type { CameraEstimate } from '../../shared-lib/trace/camera-estimate.ts';
import { CameraMotionEstimator } from '../../shared-lib/trace/camera-motion.ts';
import { RestingCamera } from '../../shared-lib/trace/resting-camera.ts';

import {
  chooseDisc,
  grownDisc,
  sureEnough,
  surenessUnexplained,
} from '../../shared-lib/trace/choose-trace.ts';
import { discAt, SeedCollector, seedsIn, type Seed } from '../../shared-lib/trace/find-seeds.ts';
import { lookedViews, rimMultiple } from '../../shared-lib/trace/disc-look.ts';
import { steadied } from '../../shared-lib/trace/disc-views.ts';
import { notMeasured, type DiscMeasurement } from '../../shared-lib/trace/follow-disc.ts';
import { KeyFrameScan, type ScannedStretch } from '../../shared-lib/trace/key-frame-scan.ts';
import { shutterOf } from '../../shared-lib/trace/shutter.ts';
import { sketchOf } from '../../shared-lib/trace/sketch.ts';
import { PictureFollower, type ForwardDisc } from '../../shared-lib/trace/follow-pictures.ts';
import { inClip, inMeasured, pxPerMeasured, traceInClip } from '../../shared-lib/trace/measured-size.ts';
import { MotionSearch } from '../../shared-lib/trace/motion-search.ts';
import { UprightCollector } from '../../shared-lib/trace/upright-collector.ts';
import { decodeFrames, type DecodedFrame, type DecodeOptions } from '../media/decode.ts';
import { decodeKeyFrames, OtherKeyFrames } from '../media/key-frames.ts';
import { decoderThreads } from '../media/limits.ts';
import { packetTimes } from '../media/packet-times.ts';
import type { ClipsAtOnce } from './among-clips.ts';
import { Assistant } from './assistant.ts';
import { decodeAhead, ringFor } from './decode-ahead.ts';
import { followBackward } from './follow-backward.ts';
import { PassedPictures } from './passed-pictures.ts';
import { PieceStore } from './piece-store.ts';
import {
  decodedStretches,
  framesAt,
  framesOf,
  isSameTime,
  leftOutOf,
  lookedAt,
  overAllFrames,
  restsAcross,
  scheduleWithout,
  type Schedule,
} from './schedule.ts';
import { giveBack, type PictureRing } from './load-kernels.ts';
import { settleClip, type PieceSource } from './settle-clip.ts';

/** Where the user says the disc's centre is: file time, displayed pixels. */
export interface UserSeed {
  ptsS: number;
  xPx: number;
  yPx: number;
}

export interface TrackRequest {
  file: string;
  ffmpeg: string;
  media: MediaInfo;
  seed: UserSeed | null;
  /** Every picture is followed, also where by the key frames nothing moves. */
  whole?: boolean | undefined;
  /** Clips that are followed at once, where they are counted: none but this one where left out. */
  clips?: ClipsAtOnce | undefined;
}

export interface TrackedClip {
  trace: Trace;
  seed: Calibration['seed'];
}

export interface TrackOptions {
  signal?: AbortSignal | undefined;
  /** Share of the work done, 0 to 1. */
  onProgress?: ((share: number) => void) | undefined;
  /** Told now and then what has been followed so far of the disc that travels farthest. */
  onTraced?: ((points: TracedPoints) => void) | undefined;
}

/** Seconds of clip between pictures that are searched for discs, and the most pictures searched. */
const searchEveryS = 1.5;
const mostSearched = 8;
/** Discs followed side by side until one proves to be the bar's. */
const mostFollowed = 5;
/** Half of what the far side of a thick disc adds to its rim at most, seen from 30 degrees off square: log of the size. */
const mostSizeDoubt = 0.05;
/** How far off a rim is that no pose explains, one sigma of each semi-axis, as a share: on five rendered films it was 0.9, 2.8, 3.7, 7 and 10 %. */
const unexplainedShare = 0.06;
/** Shares of the work: a look at the key frames, the forward decode, the stretch before the seed; settling has the rest. */
const shares = { look: 0.08, forward: 0.7, backward: 0.06 };

/**
 * Finds the near disc and follows it through the clip: key frames are searched for discs, the best are
 * followed in one forward decode, the one that travels as a bar does is kept, and followed from the picture that it was found
 * in back to the first. Very large pictures are measured at half their size. Long stretches in which
 * by the key frames nothing moves are not decoded, unless asked for or a disc was pointed at.
 *
 * @returns places in pixels of the clip as displayed
 */
export async function trackClip(request: TrackRequest, options: TrackOptions = {}): Promise<TrackedClip> {
  const pieces = new PieceStore();
  const factor = pxPerMeasured(request.media);
  const measured = inMeasuredPx(request, factor);
  const ring = ringFor(measured.media);
  try {
    const threads = decoderThreads(request.media, availableParallelism());
    const tracked = await trackWith(pieces, ring, measured, threads, {
      ...options,
      onTraced: options.onTraced && ((points) => options.onTraced?.(pointsInClip(points, factor))),
    });
    return { trace: traceInClip(tracked.trace, factor), seed: seedInClip(tracked.seed, factor) };
  } finally {
    giveBack(ring);
    pieces.close();
  }
}

/** What is asked, in pixels of the pictures that are measured. */
function inMeasuredPx({ media, seed, ...rest }: TrackRequest, factor: number): TrackRequest {
  return {
    ...rest,
    media: { ...media, widthPx: media.widthPx / factor, heightPx: media.heightPx / factor },
    seed: seed && { ...seed, xPx: inMeasured(seed.xPx, factor), yPx: inMeasured(seed.yPx, factor) },
  };
}
const seedInClip = <Seed extends { xPx: number; yPx: number }>(seed: Seed, factor: number): Seed => ({
  ...seed,
  xPx: inClip(seed.xPx, factor),
  yPx: inClip(seed.yPx, factor),
});
const pointsInClip = ({ ptsS, xPx, yPx }: TracedPoints, factor: number): TracedPoints => ({
  ptsS,
  xPx: xPx.map((px) => inClip(px, factor)),
  yPx: yPx.map((px) => inClip(px, factor)),
});

async function trackWith(
  pieces: PieceStore,
  ring: PictureRing,
  request: TrackRequest,
  threads: number,
  options: TrackOptions,
): Promise<TrackedClip> {
  const { media, file } = request;
  const asStored = {
    ffmpeg: request.ffmpeg,
    width: media.widthPx,
    height: media.heightPx,
    bitDepth: media.bitDepth,
    ring,
    threads,
    signal: options.signal,
  };
  const assistant = new Assistant(options.signal, request.clips);
  const { seeds, leftOut, keyTimesS, grain, toldS } = request.seed
    ? { ...(await seedAt(file, asStored, request.seed)), leftOut: [], keyTimesS: [], toldS: undefined }
    : await searchKeyFrames(file, asStored, media, assistant, options);
  const decoding = { ...asStored, softeningPx: softeningPx(grain, asStored) };
  const schedule = request.whole ? null : scheduleWithout(leftOut, toldS, media);

  const { choice, camera, uprights, ptsS, all, looked } =
    (schedule && (await followLooked(schedule))) ?? (await followLooked(null))!;
  const { disc } = choice;
  const multiple = rimMultiple(disc.look);
  const { measurements, rim: found } = grownDisc({ ...disc, measurements: all }, multiple);
  const settled = nearDisc(settleCameraMotion(camera, media), measurements, media);
  const barAt = (frame: number): Box[] => {
    const { xPx, yPx } = measurements[frame];
    return Number.isNaN(xPx) ? [] : [boxRound({ ...found, xPx, yPx })];
  };
  const edges = uprights.uprights(settled.motions, barAt);
  const lens = lensBow(edges, media);
  const assembled = (places: readonly DiscMeasurement[]): Trace => ({
    ...assembleTrace(places, found, settled),
    backgroundShare: settled.seenShare,
    ...(decoding.softeningPx > 0 ? { softeningPx: decoding.softeningPx } : {}),
    uprights: lens ? edges.map((edge) => unbent(edge, lens, media)) : edges,
    ...(lens ? { lens } : {}),
    ...(looked ? { leftOut: leftOutOf(looked) } : {}),
  });
  const followed = assembled(measurements);
  // A ring that was moved outward may have been taken to the far side of a thick disc: both sizes are tried.
  const sizeDoubt = Math.min(mostSizeDoubt, Math.log(multiple) / 2);
  const views = steadied(lookedViews(disc.look), followed, multiple * Math.exp(-sizeDoubt));
  const done = shares.look + shares.forward + shares.backward;
  options.onProgress?.(done);
  const pose = await fitCameraPose(views, media, {
    bow: lens ?? undefined,
    sizeDoubt,
    fitting: (question) => assistant.fitting(question),
  });
  const source: PieceSource = { piece: (frame, roomFor) => pieces.piece(disc.seed, frame, roomFor), ptsS };
  const places =
    pose &&
    (await settleClip(
      file,
      decoding,
      source,
      measurements,
      followed,
      { pose, views, media },
      assistant,
      (share) => options.onProgress?.(done + (1 - done) * share),
    ));
  options.onProgress?.(1);
  const isExplained = pose !== null || views.length < fewestViews;
  const sureness = isExplained ? choice.sureness : Math.min(choice.sureness, surenessUnexplained);
  const { ptsS: seedPtsS, rim } = disc.seed;
  // A pose that the pictures do not agree with is none: the rim's own shape and size are the better ruler.
  const trace = pose && places ? posed(assembled(places), pose, media) : unexplained(followed);
  const readOut = readOutOf(pose && places ? places : measurements, media);
  const shutter = shutterOf(trace, (frame) => source.piece(frame));
  return {
    trace: { ...trace, ...(readOut ? { readOut } : {}), ...(shutter ? { shutter } : {}) },
    seed: request.seed
      ? { ...request.seed, source: 'user' }
      : { ptsS: seedPtsS, xPx: rim.xPx, yPx: rim.yPx, source: 'found', sureness },
  };

  /** The bar's disc in the pictures of a schedule; null where it casts doubt on what the schedule leaves out. */
  async function followLooked(plan: Schedule | null) {
    const passed = new PassedPictures();
    try {
      return await followBothWays(plan, passed);
    } finally {
      passed.close();
    }
  }

  async function followBothWays(plan: Schedule | null, passed: PassedPictures) {
    pieces.keepOnly([]);
    const forward = await followForward(
      file,
      decoding,
      seeds,
      request.seed === null,
      pieces,
      passed,
      media,
      plan,
      options,
    );
    if (!forward) return null;
    const { discs, ...rest } = forward;
    const best = request.seed ? { disc: discs[0], sureness: 1 } : chooseDisc(discs);
    if (plan && !(best && best.sureness >= sureEnough)) return null;
    if (!best) throw noBar(file, discs.length > 0);
    pieces.keepOnly([best.disc.seed]);
    const { ptsS } = forward;
    const clip = { file, decoding, ptsS, keyFrames: framesAt(ptsS, keyTimesS), passed, schedule: plan };
    const before = await followBackward(clip, best.disc, pieces, (share) =>
      options.onProgress?.(shares.look + shares.forward + shares.backward * share),
    );
    const each = [...before, ...best.disc.measurements];
    if (plan && !restsAcross(each, plan, best.disc.rim)) return null;
    return { choice: best, ...rest, all: plan ? overAllFrames(each, plan, notMeasured) : each, looked: plan };
  }
}

/** A trace by a rim that no pose explains: part of it may be another edge. */
function unexplained(trace: Trace): Trace {
  const { rim, rimSigma } = trace;
  const doubted = (sigmaPx: number, axisPx: number): number => Math.hypot(sigmaPx, unexplainedShare * axisPx);
  return {
    ...trace,
    rimSigma: { aPx: doubted(rimSigma.aPx, rim.aPx), bPx: doubted(rimSigma.bPx, rim.bPx) },
  };
}

/** The settled trace with its pose: its places are the near face's centre, and its rim is the face's own. */
function posed(trace: Trace, pose: CameraPose, media: MediaInfo): Trace {
  const { xPx, yPx } = trace.rim;
  return {
    ...trace,
    rim: rimOfPose(pose, { xPx, yPx }, media, trace.lens),
    pose: { ...pose, offset: { dxPx: 0, dyPx: 0 } },
  };
}

/** What the key frames show: discs, what nothing moves in, and grain. */
interface KeyFramesSearched {
  seeds: Seed[];
  leftOut: ScannedStretch[];
  keyTimesS: number[];
  grain: number;
}

/** @returns beside it the times of all pictures, as the container tells them */
async function searchKeyFrames(
  file: string,
  asStored: DecodeOptions,
  media: MediaInfo,
  assistant: Assistant,
  options: TrackOptions,
): Promise<KeyFramesSearched & { toldS: readonly number[] | undefined }> {
  // Key frames keep every thread busy, which then holds several pictures: of 4K of 10 bit two threads together hold 440 MB.
  const threads = Math.min(asStored.threads ?? Infinity, availableParallelism());
  const decoding = { ...asStored, threads };
  const packets = packetTimes(file, asStored.ffmpeg, options.signal);
  const search = async (pictures: AsyncIterable<DecodedFrame>) => ({
    ...(await searchIn(pictures, media, assistant, options)),
    toldS: (await packets)?.ptsS,
  });
  try {
    return await search(decodeKeyFrames(file, decoding, packets));
  } catch (error) {
    if (!(error instanceof OtherKeyFrames)) throw error;
    return search(decodeFrames(file, { ...decoding, keyFramesOnly: 'by the decoder' }));
  }
}

async function searchIn(
  keyFrames: AsyncIterable<DecodedFrame>,
  media: MediaInfo,
  assistant: Assistant,
  options: TrackOptions,
): Promise<KeyFramesSearched> {
  const scan = new KeyFrameScan();
  const keyTimesS: number[] = [];
  const grains: number[] = [];
  const found: (readonly Seed[] | Promise<readonly Seed[]>)[] = [];
  const everyS = Math.max(searchEveryS, media.durationS / mostSearched);
  let nextS = -Infinity;
  // Where nothing has moved since the last picture that was searched there is nothing else to be found.
  let hasMoved = false;
  for await (const { ptsS, image } of keyFrames) {
    if (!scan.look(image, ptsS)) hasMoved = true;
    keyTimesS.push(ptsS);
    if (ptsS < nextS || !hasMoved) continue;
    nextS = ptsS + everyS;
    hasMoved = false;
    grains.push(grainOf(image));
    found.push(assistant.isFree ? assistant.search({ image, ptsS }) : seedsIn(image, ptsS));
    options.onProgress?.(shares.look * Math.min(1, ptsS / media.durationS));
  }
  const collector = new SeedCollector();
  for (const seeds of found) collector.add(await seeds);
  return {
    seeds: collector.strongest(mostFollowed),
    leftOut: scan.leftOut(media.durationS),
    keyTimesS,
    grain: median(grains) ?? 0,
  };
}

async function seedAt(
  file: string,
  decoding: DecodeOptions,
  seed: UserSeed,
): Promise<{ seeds: Seed[]; grain: number }> {
  const stretch = { fromS: Math.max(0, seed.ptsS - 0.3), toS: seed.ptsS + 0.3 };
  let nearest: { ptsS: number; rim: Rim | null; away: number; grain: number } | null = null;
  for await (const { ptsS, image } of decodeFrames(file, { ...decoding, ...stretch })) {
    const away = Math.abs(ptsS - seed.ptsS);
    if (nearest && away >= nearest.away) break;
    if (away < 0.021 || ptsS >= seed.ptsS) {
      nearest = { ptsS, away, rim: discAt(image, seed.xPx, seed.yPx), grain: grainOf(image) };
      if (ptsS >= seed.ptsS) break;
    }
  }
  if (!nearest?.rim) {
    throw new Failure(
      'noBar',
      `No disc was found round the point given at ${seed.ptsS} s in ${file}.`,
      'Point at the centre of the near disc, in a picture that shows it whole and sharp.',
    );
  }
  return { seeds: [{ ptsS: nearest.ptsS, rim: nearest.rim, strength: 1 }], grain: nearest.grain };
}

async function followForward(
  file: string,
  decoding: Parameters<typeof decodeAhead>[1],
  seeds: Seed[],
  searchAlong: boolean,
  pieces: PieceStore,
  passed: PassedPictures,
  media: MediaInfo,
  schedule: Schedule | null,
  options: TrackOptions,
): Promise<{
  discs: ForwardDisc[];
  camera: CameraEstimate[];
  uprights: UprightCollector;
  ptsS: number[];
} | null> {
  const follower = new PictureFollower(seeds);
  const random = seededRandom(1);
  const background = new CameraMotionEstimator(() => random.uniform(), usualFocalPx(media));
  const camera = new RestingCamera(background, media);
  const lookedS = schedule ? lookedAt(schedule) : media.durationS;
  const uprights = new UprightCollector(lookedS, decoding.softeningPx);
  const times: number[] = [];
  const passOver = (until: number): void => {
    const missed = schedule?.ptsS.slice(times.length, until) ?? [];
    if (missed.length === 0) return;
    follower.passOver(missed.length, missed[missed.length - 1]);
    camera.passOver(missed.length);
    for (const ptsS of missed) times.push(ptsS);
  };
  const frames = schedule && framesOf(schedule);
  let count = 0;
  // Key frames are few, and in most of them the bar stands still among other discs: what moves is looked for on the way.
  const search = searchAlong ? new MotionSearch(lookedS) : null;
  const stretches = schedule ? decodedStretches(schedule) : undefined;
  for await (const { ptsS, image } of decodeAhead(file, decoding, stretches)) {
    if (frames) {
      const frame = frames.at(count++);
      if (frame === undefined || !isSameTime(schedule.ptsS[frame], ptsS)) return null;
      passOver(frame);
    }
    if (search ? !follower.isSettled() : follower.current().length === 0)
      passed.keep(times.length, image.data);
    follower.push(image, ptsS);
    const moving = follower.isSettled() ? null : search?.look(image, ptsS);
    if (moving) follower.addSeeds(moving, image, ptsS, mostFollowed);
    for (const { seed, rim } of follower.current()) pieces.keep(seed, times.length, image, rim);
    pieces.keepOnly(follower.seeds());
    camera.look(image, ptsS, follower.rims().map(boxRound));
    uprights.look(image, ptsS, times.length);
    times.push(ptsS);
    if (times.length % 10 === 0) {
      options.onProgress?.(shares.look + shares.forward * Math.min(1, ptsS / media.durationS));
      const foremost = options.onTraced ? follower.foremost() : null;
      if (foremost) options.onTraced?.(sketchOf(foremost));
    }
  }
  if (frames && count < frames.length) return null;
  passOver(Infinity);
  return { discs: follower.finish(), camera: camera.estimates(), uprights, ptsS: times };
}

const boxRound = (rim: Rim): Box => ({
  x0Px: rim.xPx - 1.3 * rim.aPx,
  y0Px: rim.yPx - 1.3 * rim.aPx,
  x1Px: rim.xPx + 1.3 * rim.aPx,
  y1Px: rim.yPx + 1.3 * rim.aPx,
});

function noBar(file: string, anyDisc: boolean): Failure {
  const why = anyDisc ? 'no disc in it travels up and down as a bar does' : 'no disc shows its whole rim';
  return new Failure(
    'noBar',
    `No bar was found in ${file}: ${why}.`,
    'Point at the middle of the near disc (on the command line: --seed T,X,Y), or film again square to the end of the bar.',
  );
}
