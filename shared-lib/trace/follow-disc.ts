import type { Rim } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import { discPicture, matchDisc, type DiscPicture } from '../picture/disc-match.ts';
import {
  faceTemplate,
  registerFace,
  type FaceRegistration,
  type FaceTemplate,
} from '../picture/face-registration.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { findRimEdges, type RimEdges } from '../picture/rim-edges.ts';
import { fitRimShift, type RimShift, type RimShiftOptions } from '../picture/rim-fit.ts';
import { ellipseThroughEdges } from '../picture/rim-shape.ts';
import { correctMotion, predictMotion, startMotion, type DiscMotion } from './disc-motion.ts';
import { fusePositions, type Position } from './fuse-positions.ts';
import { blendedShape } from './pooled-rim.ts';

/** What one picture says of the disc. Not measured: confidence 0 and NaN positions. */
export interface DiscMeasurement {
  tS: number;
  xPx: number;
  yPx: number;
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
  confidence: number;
  /** Geometric mean of the rim's semi-axes, pixels; NaN where the rim itself was not fitted. */
  radiusPx: number;
  /** A free ellipse through the rim's edges, where the picture is sharp enough to say. */
  rim: Rim | null;
  /** Share of the rim's rays that agree, 0 to 1; 0 where the rim was not fitted. */
  rimShare: number;
}

/** Everything the follower carries from one picture to the next. */
export interface FollowState {
  /** The rim as expected in the next picture; its centre is where the disc was found. */
  rim: Rim;
  /** Its size when it was found. */
  foundAPx: number;
  /** The face where it was found, which nothing drifts against. */
  face: TurnedFace;
  /** The face a few pictures ago, for when light, turn or angle have changed it beyond the first. */
  recent: TurnedFace;
  sinceRecent: number;
  picture: DiscPicture;
  motion: DiscMotion;
  unseenS: number;
}

/** A face's template and how far the disc has turned since it was taken. */
interface TurnedFace {
  template: FaceTemplate;
  turnRad: number;
}

/** Pictures between two templates of the recent face. */
const renewEvery = 4;

const rays = 128;
const minStep = 4;
/** A gap longer than this ends the motion model: the disc is then looked for by its picture alone. */
const longestCoastS = 0.5;

const pxPerM = (state: FollowState): number => state.rim.aPx / usualDiscRadiusM;

export function startFollowing(image: GreyImage, rim: Rim, tS: number): FollowState {
  const face = { template: faceTemplate(image, rim), turnRad: 0 };
  return {
    rim,
    foundAPx: rim.aPx,
    face,
    recent: face,
    sinceRecent: 0,
    picture: discPicture(image, rim),
    motion: startMotion(tS, rim.xPx, rim.yPx, rim.aPx / usualDiscRadiusM),
    unseenS: 0,
  };
}

/** Follows the disc into the next picture (or the previous one: time may run backward, `dt` counts its size). */
export function followInto(
  state: FollowState,
  image: GreyImage,
  tS: number,
): { state: FollowState; measurement: DiscMeasurement } {
  const dtS = Math.abs(tS - state.motion.tS);
  const predicted = predictMotion(state.motion, state.motion.tS + dtS, pxPerM(state));
  predicted.tS = tS;
  const radius = state.rim.aPx;
  const sigma = Math.sqrt(predicted.ppPx2);
  const smear = { x: predicted.vxPx * dtS, y: predicted.vyPx * dtS };

  let found: Found | null = null;
  if (state.unseenS <= longestCoastS) {
    const searchPx = Math.min(0.35 * radius, Math.max(5, 3 * sigma + 3));
    found = measureAt(state, image, predicted.xPx, predicted.yPx, searchPx, sigma, smear);
  }
  if (!found) found = searchAgain(state, image, predicted, sigma, radius);
  if (!found) {
    const unseenS = state.unseenS + dtS;
    // Past the longest coast the disc may be anywhere: hold the place where it was last expected.
    const motion = unseenS > longestCoastS ? { ...predicted, vxPx: 0, vyPx: 0, pv: 0 } : predicted;
    return { state: { ...state, motion, unseenS }, measurement: notMeasured(tS) };
  }
  return accept(state, image, predicted, found, smear, tS);
}

interface Found {
  position: Position;
  rimShift: RimShift | null;
  face: PlacedFace | null;
  edges: RimEdges;
  agreement: number;
}

/** Rim and face measured near an expected place; null where neither convinces. */
function measureAt(
  state: FollowState,
  image: GreyImage,
  xPx: number,
  yPx: number,
  searchPx: number,
  sigmaPx: number,
  smear: { x: number; y: number },
): Found | null {
  const expected: Rim = { ...state.rim, xPx, yPx };
  const edges = findRimEdges(image, expected, {
    rays,
    searchPx,
    smearXPx: smear.x,
    smearYPx: smear.y,
    minStep,
  });
  const fitting: RimShiftOptions = {
    maxShiftPx: searchPx,
    scaleSigma: 0.004,
    shiftSigmaPx: Math.max(2, sigmaPx),
    kernelPx: Math.max(1.2, 0.018 * expected.aPx) + 0.15 * Math.hypot(smear.x, smear.y),
  };
  const rim = rimAt(edges, fitting);
  const faceAt = (at: Position | null): PlacedFace | null =>
    placeFace(image, state, at?.xPx ?? xPx, at?.yPx ?? yPx);
  const face = faceAt(rim?.position ?? null) ?? (rim ? faceAt(null) : null);
  const agreement = Math.max(0, face?.face.correlation ?? 0);
  if (!face) {
    // A rim without its face must be nearly whole to be believed: another disc has a rim too.
    return rim && rim.shift.inlierShare >= 0.6
      ? { position: rim.position, rimShift: rim.shift, face: null, edges, agreement }
      : null;
  }
  if (rim && apart(rim.position, face.position) < agreePx(rim.position, face.position)) {
    return {
      position: fusePositions(rim.position, face.position),
      rimShift: rim.shift,
      face,
      edges,
      agreement,
    };
  }
  if (!isSure(face.face)) {
    return rim ? { position: rim.position, rimShift: rim.shift, face: null, edges, agreement } : null;
  }
  // The edges led astray, or to no rim at all, while the face is plain to see: look for the rim round the face.
  const around = { dx: face.position.xPx - xPx, dy: face.position.yPx - yPx };
  const near = rimAt(edges, { ...fitting, around, maxShiftPx: 1.5, shiftSigmaPx: 1 });
  const agrees = near !== null && apart(near.position, face.position) < agreePx(near.position, face.position);
  return agrees
    ? { position: fusePositions(near.position, face.position), rimShift: near.shift, face, edges, agreement }
    : { position: face.position, rimShift: null, face, edges, agreement };
}

interface PlacedRim {
  position: Position;
  shift: RimShift;
}

function rimAt(edges: RimEdges, options: RimShiftOptions): PlacedRim | null {
  const shift = fitRimShift(edges, options);
  if (!shift || shift.inlierShare < 0.35 || shift.spread < 0.45) return null;
  const { varXPx2, varYPx2, covXYPx2 } = shift;
  const position = {
    xPx: edges.centre.xPx + shift.dxPx,
    yPx: edges.centre.yPx + shift.dyPx,
    varXPx2,
    varYPx2,
    covXYPx2,
  };
  return { position, shift };
}

interface PlacedFace {
  position: Position;
  face: FaceRegistration;
  by: 'first' | 'recent';
}

/** The face by its first template, or by a recent one where that is more like it now. */
function placeFace(image: GreyImage, state: FollowState, xPx: number, yPx: number): PlacedFace | null {
  const first = registered(image, state, state.face, xPx, yPx, 0, leastLikeness.first);
  if (first && isSure(first.face)) return first;
  const recent = registered(image, state, state.recent, xPx, yPx, recentVarPx2, leastLikeness.recent);
  // A recent template alone could wander off step by step: the first must at least not contradict it.
  if (!first || !recent) return first;
  return recent.face.correlation > first.face.correlation ? recent : first;
}

/** Correlations below which a face is no evidence: light that stays while the disc turns lowers the first's. */
const leastLikeness = { first: 0.3, recent: 0.7 };

/** What a recent template's own place is uncertain by, px². */
const recentVarPx2 = 0.1 ** 2;

function registered(
  image: GreyImage,
  state: FollowState,
  { template, turnRad }: TurnedFace,
  xPx: number,
  yPx: number,
  ownVarPx2: number,
  leastCorrelation: number,
): PlacedFace | null {
  const face = registerFace(image, template, { ...state.rim, xPx, yPx }, turnRad);
  if (!face || face.correlation < leastCorrelation || face.inlierShare < 0.4) return null;
  const position = {
    xPx: xPx + face.dxPx,
    yPx: yPx + face.dyPx,
    varXPx2: face.varXPx2 + ownVarPx2,
    varYPx2: face.varYPx2 + ownVarPx2,
    covXYPx2: face.covXYPx2,
  };
  return { position, face, by: ownVarPx2 > 0 ? 'recent' : 'first' };
}

/** A face this like its template is the disc's own, whatever the edges round it say. */
const isSure = (face: FaceRegistration): boolean => face.correlation >= 0.85 && face.inlierShare >= 0.6;

const apart = (one: Position, other: Position): number =>
  Math.hypot(one.xPx - other.xPx, one.yPx - other.yPx);

/** How far rim and face may be apart and still be two views of one disc. */
const agreePx = (one: Position, other: Position): number =>
  0.6 + 4 * Math.sqrt((one.varXPx2 + one.varYPx2 + other.varXPx2 + other.varYPx2) / 2);

/** Looks for the disc by its picture in a wider field, then measures there; the longer unseen, the wider. */
function searchAgain(
  state: FollowState,
  image: GreyImage,
  predicted: DiscMotion,
  sigmaPx: number,
  radiusPx: number,
): Found | null {
  const reach = Math.min(4 * radiusPx, Math.max(0.5 * radiusPx, 3 * sigmaPx));
  const match = matchDisc(image, state.picture, predicted.xPx, predicted.yPx, reach);
  if (match.correlation < 0.55) return null;
  const smear = { x: match.xPx - state.motion.xPx, y: match.yPx - state.motion.yPx };
  const still = state.unseenS > 0 ? { x: 0, y: 0 } : smear;
  const found = measureAt(state, image, match.xPx, match.yPx, Math.max(6, 0.12 * radiusPx), 6, still);
  if (!found) return null;
  const whole = found.rimShift !== null && found.rimShift.inlierShare >= 0.5;
  return whole || (found.face !== null && found.face.face.correlation >= 0.8) ? found : null;
}

function accept(
  state: FollowState,
  image: GreyImage,
  predicted: DiscMotion,
  found: Found,
  smear: { x: number; y: number },
  tS: number,
): { state: FollowState; measurement: DiscMeasurement } {
  const { position, rimShift, face } = found;
  const variance = 0.25 + (position.varXPx2 + position.varYPx2) / 2;
  const restart = state.unseenS > longestCoastS;
  const motion = restart
    ? startMotion(tS, position.xPx, position.yPx, pxPerM(state))
    : correctMotion(predicted, position.xPx, position.yPx, variance);
  const sharp = Math.hypot(smear.x, smear.y) < Math.max(1.5, 0.06 * state.rim.aPx);
  const seenRim = rimShift && sharp ? freeRim(state, found.edges, rimShift) : null;
  const next: FollowState = {
    ...state,
    motion,
    rim: nextRim(state, rimShift, seenRim),
    ...nextFaces(state, image, found, Math.hypot(smear.x, smear.y)),
    unseenS: 0,
  };
  const measurement: DiscMeasurement = {
    tS,
    ...position,
    confidence: confidenceOf(rimShift, face?.face ?? null, found.agreement),
    radiusPx: rimShift ? meanRadius(state.rim) * (1 + rimShift.dScale) : NaN,
    rim: seenRim,
    rimShare: rimShift?.inlierShare ?? 0,
  };
  return { state: next, measurement };
}

/** Follows how far the disc has turned, and takes a new recent template now and then from a picture not much blurred. */
function nextFaces(
  state: FollowState,
  image: GreyImage,
  { face, position, rimShift }: Found,
  smearPx: number,
): Pick<FollowState, 'face' | 'recent' | 'sinceRecent'> {
  const turned = (which: TurnedFace, by: 'first' | 'recent'): TurnedFace =>
    face?.by === by ? { ...which, turnRad: face.face.turnRad } : which;
  const kept = {
    face: turned(state.face, 'first'),
    recent: turned(state.recent, 'recent'),
    sinceRecent: state.sinceRecent + 1,
  };
  const whole = rimShift !== null && rimShift.inlierShare >= 0.5;
  if (kept.sinceRecent < renewEvery || !whole || smearPx > 0.2 * state.rim.aPx) return kept;
  const here = { ...state.rim, xPx: position.xPx, yPx: position.yPx };
  return { ...kept, recent: { template: faceTemplate(image, here), turnRad: 0 }, sinceRecent: 0 };
}

const meanRadius = (rim: Rim): number => Math.sqrt(rim.aPx * rim.bPx);

/** How fast the expected rim follows what sharp pictures show of its shape, and what others show of its size. */
const shapeGain = 0.1;
const sizeGain = 0.05;

/** The rim expected next: shape and size change slowly, and a single picture is not to be trusted with them. */
function nextRim({ rim, foundAPx }: FollowState, shift: RimShift | null, seen: Rim | null): Rim {
  if (!shift) return rim;
  const growth = 1 + sizeGain * shift.dScale;
  const next: Rim = seen
    ? { ...rim, ...blendedShape(rim, seen, shapeGain) }
    : { ...rim, aPx: rim.aPx * growth, bPx: rim.bPx * growth };
  return Math.abs(next.aPx / foundAPx - 1) < mostGrowth && next.bPx / next.aPx > flattest ? next : rim;
}

/** A disc comes nearer or goes farther by less than this along a lift; flatter than this it is no disc (41 degrees off square). */
const mostGrowth = 0.15;
const flattest = 0.72;

/** A free ellipse through the edges near the rim, where nearly the whole rim shows and the shape is no leap. */
function freeRim({ rim }: FollowState, edges: RimEdges, shift: RimShift): Rim | null {
  if (shift.inlierShare < 0.5 || shift.spread < 0.85 || edges.insideCount < edges.rays) return null;
  const seen = ellipseThroughEdges(edges, shift, rim, Math.max(2, 0.035 * rim.aPx));
  if (!seen) return null;
  const leap = Math.max(Math.abs(seen.aPx / rim.aPx - 1), Math.abs(seen.bPx / rim.bPx - 1));
  const stray = Math.hypot(
    seen.xPx - edges.centre.xPx - shift.dxPx,
    seen.yPx - edges.centre.yPx - shift.dyPx,
  );
  return leap < 0.06 && stray < 0.02 * rim.aPx ? seen : null;
}

/** Agreement of rim and face as one figure: the rim's share of agreeing rays, raised by a face that agrees. */
function confidenceOf(rim: RimShift | null, face: FaceRegistration | null, agreement: number): number {
  const byRim = rim ? Math.min(1, rim.inlierShare / 0.8) * Math.min(1, rim.contrast / 12) : 0;
  const byFace = face ? Math.max(0, (agreement - 0.4) / 0.6) * face.inlierShare : 0;
  return Math.min(1, 1 - (1 - 0.9 * byRim) * (1 - 0.9 * byFace));
}

const notMeasured = (tS: number): DiscMeasurement => ({
  tS,
  xPx: NaN,
  yPx: NaN,
  varXPx2: NaN,
  varYPx2: NaN,
  covXYPx2: NaN,
  confidence: 0,
  radiusPx: NaN,
  rim: null,
  rimShare: 0,
});
