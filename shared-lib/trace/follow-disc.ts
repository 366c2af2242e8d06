import type { Rim } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import { discPicture, matchDisc, type DiscPicture } from '../picture/disc-match.ts';
import { faceTemplate, type FaceRegistration } from '../picture/face-registration.ts';
import { glanceAt, showsTheSame, type Glance } from '../picture/glance.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import type { RimEdges } from '../picture/rim-edges.ts';
import type { RimShift } from '../picture/rim-fit.ts';
import { ellipseThroughEdges } from '../picture/rim-shape.ts';
import { lookForDisc, rays, type DiscEvidence, type ExpectedDisc, type TurnedFace } from './disc-evidence.ts';
import { correctMotion, predictMotion, startMotion, type DiscMotion } from './disc-motion.ts';
import { isPartlyHidden, isWhole, judgeEvidence, type JudgedDisc } from './judge-evidence.ts';
import { stretched, uprightness } from './pooled-rim.ts';
import { emptyMemory, remembered, type RayMemory } from './ray-memory.ts';
import { meanRadius } from '../picture/rim-radii.ts';

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
  /**
   * How much taller than wide the rim is seen: half the logarithm of the ratio of its second moments; and how much its
   * right side hangs down, as a correlation. NaN where the rim was not fitted.
   */
  tall: number;
  skew: number;
  /** How far the disc has turned since it was found, radians; NaN where no face told it. */
  turnRad: number;
}

/** Everything the follower carries from one picture to the next. */
export interface FollowState {
  /** The rim as expected in the next picture; its centre is where the disc was found. */
  rim: Rim;
  /** Its size when it was found. */
  foundAPx: number;
  /** Variance of the expected rim's size and stretch, relative. */
  shapeVar: number;
  /** The face where it was found, which nothing drifts against. */
  face: TurnedFace;
  /** The face a few pictures ago, for when light, turn or angle have changed it beyond the first. */
  recent: TurnedFace;
  /** How far the disc had turned when that was taken, and has by now. */
  recentTurnRad: number;
  turnRad: number;
  sinceRecent: number;
  memory: RayMemory;
  picture: DiscPicture;
  /** Of the last picture that showed something new. */
  motion: DiscMotion;
  unseenS: number;
  /** The last picture's time and how far the disc had moved in it since the one before, pixels. */
  lastS: number;
  smear: { x: number; y: number };
  /** What the last new picture showed round the disc. */
  glance: Glance;
}

/** Pictures between two templates of the recent face. */
const renewEvery = 4;
/** A gap longer than this ends the motion model: the disc is then looked for by its picture alone. */
export const longestCoastS = 0.5;

const pxPerM = (state: FollowState): number => state.rim.aPx / usualDiscRadiusM;

export function startFollowing(image: GreyImage, rim: Rim, tS: number): FollowState {
  const face = { template: faceTemplate(image, rim), turnRad: 0 };
  return {
    rim,
    foundAPx: rim.aPx,
    shapeVar: foundShapeSigma ** 2,
    face,
    recent: face,
    recentTurnRad: 0,
    turnRad: 0,
    sinceRecent: 0,
    memory: emptyMemory(rays),
    picture: discPicture(image, rim),
    motion: startMotion(tS, rim.xPx, rim.yPx, rim.aPx / usualDiscRadiusM),
    unseenS: 0,
    lastS: tS,
    smear: { x: 0, y: 0 },
    glance: glanceAt(image, rim.xPx, rim.yPx, rim.aPx),
  };
}

/** The state after pictures that nobody looked at, since nothing in them moved. */
export const restedUntil = (state: FollowState, tS: number): FollowState => ({
  ...state,
  motion: { ...state.motion, tS, vxPx: 0, vyPx: 0, pv: 0 },
  lastS: tS,
});

export interface FollowStep {
  state: FollowState;
  measurement: DiscMeasurement;
  /** What rim and face said on their own; null where the disc was not found. */
  judged: JudgedDisc | null;
}

/** Follows the disc into the next picture (or the previous one: time may run backward, `dt` counts its size). */
export function followInto(state: FollowState, image: GreyImage, tS: number): FollowStep {
  if (showsNothingNew(state, image)) return followIntoRepeat(state, image, tS);
  const dtS = Math.abs(tS - state.motion.tS);
  const predicted = predictMotion(state.motion, state.motion.tS + dtS, pxPerM(state));
  predicted.tS = tS;
  // A picture is exposed for no longer than since the one before it, whichever of them showed something new.
  const exposedS = Math.abs(tS - state.lastS);
  const smear = { x: predicted.vxPx * exposedS, y: predicted.vyPx * exposedS };
  const found =
    (state.unseenS <= longestCoastS && find(state, image, predicted, smear)) ||
    searchAgain(state, image, predicted);
  if (!found) {
    const unseenS = state.unseenS + dtS;
    // Past the longest coast the disc may be anywhere: hold the place where it was last expected.
    const motion = unseenS > longestCoastS ? { ...predicted, vxPx: 0, vyPx: 0, pv: 0 } : predicted;
    return { state: { ...state, motion, unseenS, lastS: tS }, measurement: notMeasured(tS), judged: null };
  }
  return accept(state, image, predicted, found, tS);
}

/**
 * Whether the picture round a disc that is being seen is the one before over again: films repeat pictures where the
 * camera was late or another rate was made of them. Such a disc has not stopped, and the next picture shows it as
 * far on as the time since the last new one.
 */
const showsNothingNew = ({ glance, unseenS }: FollowState, image: GreyImage): boolean =>
  unseenS === 0 && showsTheSame(glance, image);

/** Measures the disc where it was: what is known of its motion stays that of the last new picture. */
function followIntoRepeat(state: FollowState, image: GreyImage, tS: number): FollowStep {
  const again = { ...state.motion, tS, ppPx2: 1 };
  const found = find(state, image, again, state.smear);
  if (!found) return { state: { ...state, lastS: tS }, measurement: notMeasured(tS), judged: null };
  const step = accept(state, image, again, found, tS);
  const { motion, glance, smear } = state;
  return { ...step, state: { ...step.state, motion, glance, smear } };
}

interface Found {
  evidence: DiscEvidence;
  judged: JudgedDisc;
  smear: { x: number; y: number };
}

/** Looks where the motion leads. */
function find(
  state: FollowState,
  image: GreyImage,
  predicted: DiscMotion,
  smear: { x: number; y: number },
): Found | null {
  const sigmaPx = Math.sqrt(predicted.ppPx2);
  const searchPx = Math.min(0.35 * state.rim.aPx, Math.max(5, 3 * sigmaPx + 3));
  const expected = expectedDisc(state, predicted.xPx, predicted.yPx, sigmaPx, smear);
  const evidence = lookForDisc(image, expected, searchPx);
  const judged = judgeEvidence(expected, evidence, placeOf(predicted));
  return judged && { evidence, judged, smear };
}

const placeOf = ({ xPx, yPx, ppPx2 }: DiscMotion) => ({
  xPx,
  yPx,
  varXPx2: ppPx2,
  varYPx2: ppPx2,
  covXYPx2: 0,
});

function expectedDisc(
  state: FollowState,
  xPx: number,
  yPx: number,
  sigmaPx: number,
  smear: { x: number; y: number },
): ExpectedDisc {
  const { face, recent, memory, rim, motion } = state;
  const movedPx = Math.hypot(xPx - motion.xPx, yPx - motion.yPx);
  const shapeSigma = Math.hypot(
    Math.sqrt(state.shapeVar),
    (growthPerRadius * movedPx) / rim.aPx,
    pictureShapeSigma,
  );
  return { rim: { ...rim, xPx, yPx }, sigmaPx, shapeSigma, smear, face, recent, memory };
}

/** Looks for the disc by its picture in a wider field, then measures there; the longer unseen, the wider. */
function searchAgain(state: FollowState, image: GreyImage, predicted: DiscMotion): Found | null {
  const radiusPx = state.rim.aPx;
  const reach = Math.min(4 * radiusPx, Math.max(0.5 * radiusPx, 3 * Math.sqrt(predicted.ppPx2)));
  const match = matchDisc(image, state.picture, predicted.xPx, predicted.yPx, reach);
  if (match.correlation < 0.55) return null;
  const smear =
    state.unseenS > 0 ? { x: 0, y: 0 } : { x: match.xPx - state.motion.xPx, y: match.yPx - state.motion.yPx };
  const expected = expectedDisc(state, match.xPx, match.yPx, 6, smear);
  const evidence = lookForDisc(image, expected, Math.max(6, 0.12 * radiusPx));
  const judged = judgeEvidence(expected, evidence, {
    xPx: match.xPx,
    yPx: match.yPx,
    varXPx2: 36,
    varYPx2: 36,
    covXYPx2: 0,
  });
  if (!judged) return null;
  // Found again is found only where two of picture, rim and face say so plainly.
  const { rim, face } = judged;
  const plain = rim !== null && isWhole(rim) && (face !== null || match.correlation >= 0.8);
  return plain || (face !== null && face.face.correlation >= 0.8) ? { evidence, judged, smear } : null;
}

function accept(
  state: FollowState,
  image: GreyImage,
  predicted: DiscMotion,
  found: Found,
  tS: number,
): FollowStep {
  const { judged, evidence } = found;
  const { position, rim, face } = judged;
  const smearPx = Math.hypot(found.smear.x, found.smear.y);
  const variance = 0.25 + (position.varXPx2 + position.varYPx2) / 2;
  const motion =
    state.unseenS > longestCoastS
      ? startMotion(tS, position.xPx, position.yPx, pxPerM(state))
      : correctMotion(predicted, position.xPx, position.yPx, variance);
  const shift = rim?.shift ?? null;
  const sharp = smearPx < Math.max(1.5, 0.06 * state.rim.aPx);
  const movedPx = Math.hypot(position.xPx - state.motion.xPx, position.yPx - state.motion.yPx);
  const next: FollowState = {
    ...state,
    motion,
    ...nextRim(state, shift, movedPx),
    ...nextFaces(state, image, judged, smearPx),
    memory: shift && sharp && isWhole(rim!) ? remembered(state.memory, evidence.edges, shift) : state.memory,
    unseenS: 0,
    lastS: tS,
    smear: found.smear,
    glance: glanceAt(image, motion.xPx, motion.yPx, state.rim.aPx),
  };
  const measurement: DiscMeasurement = {
    tS,
    ...position,
    confidence: confidenceOf(shift, face?.face ?? null),
    radiusPx: shift ? meanRadius(state.rim) * (1 + shift.dScale) : NaN,
    rim: shift && sharp ? freeRim(state, evidence.edges, shift) : null,
    rimShare: shift?.inlierShare ?? 0,
    ...(shift ? uprightness(stretched(state.rim, shift.dScale, shift.stretch)) : { tall: NaN, skew: NaN }),
    turnRad: face ? next.turnRad : NaN,
  };
  return { state: next, measurement, judged };
}

/** Follows how far the disc has turned, and takes a new recent template now and then from a picture not much blurred. */
function nextFaces(
  state: FollowState,
  image: GreyImage,
  { face, position, rim }: JudgedDisc,
  smearPx: number,
): Pick<FollowState, 'face' | 'recent' | 'recentTurnRad' | 'turnRad' | 'sinceRecent'> {
  const turned = (which: TurnedFace, by: 'first' | 'recent'): TurnedFace =>
    face?.by === by ? { ...which, turnRad: face.face.turnRad } : which;
  const before = face?.by === 'recent' ? state.recentTurnRad : 0;
  const kept = {
    face: turned(state.face, 'first'),
    recent: turned(state.recent, 'recent'),
    recentTurnRad: state.recentTurnRad,
    turnRad: face ? before + face.face.turnRad : state.turnRad,
    sinceRecent: state.sinceRecent + 1,
  };
  // A template of what is before the disc would follow that.
  const shows = rim !== null && isWhole(rim) && !isPartlyHidden(rim);
  if (kept.sinceRecent < renewEvery || !shows || smearPx > 0.2 * state.rim.aPx) return kept;
  const here = { ...state.rim, xPx: position.xPx, yPx: position.yPx };
  const recent = { template: faceTemplate(image, here), turnRad: 0 };
  return { ...kept, recent, recentTurnRad: kept.turnRad, sinceRecent: 0 };
}

/** What a found rim's size and stretch are uncertain by, relative. */
const foundShapeSigma = 0.01;
/** What one picture's size and stretch may be off by, whatever its edges state: blur, compression. Measured on rendered clips. */
const pictureShapeSigma = 0.004;
/**
 * Most that a disc grows while it moves by its radius: a bar that moves by 0.225 m along a view 30 degrees off
 * square comes nearer by 0.11 m of 3.
 */
const growthPerRadius = 0.02;

/** The rim expected next: shape and size change slowly, and a single picture is not to be trusted with them. */
function nextRim(
  { rim, foundAPx, shapeVar }: FollowState,
  shift: RimShift | null,
  movedPx: number,
): Pick<FollowState, 'rim' | 'shapeVar'> {
  const before = shapeVar + ((growthPerRadius * movedPx) / rim.aPx) ** 2 / 4;
  if (!shift) return { rim, shapeVar: before };
  const gain = before / (before + pictureShapeSigma ** 2 + shift.varScale);
  const next = stretched(rim, gain * shift.dScale, [gain * shift.stretch[0], gain * shift.stretch[1]]);
  const plausible = Math.abs(next.aPx / foundAPx - 1) < mostGrowth && next.bPx / next.aPx > flattest;
  return { rim: plausible ? next : rim, shapeVar: (1 - gain) * before + leastShapeVar };
}

/** Keeps the shape following where nothing moves. */
const leastShapeVar = 0.0001 ** 2;
/** A disc comes nearer or goes farther by less than this along a lift; flatter than this it is no disc (44 degrees off square). */
const mostGrowth = 0.2;
const flattest = 0.68;

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
function confidenceOf(rim: RimShift | null, face: FaceRegistration | null): number {
  const byRim = rim ? Math.min(1, rim.inlierShare / 0.8) * Math.min(1, rim.contrast / 12) : 0;
  const byFace = face ? Math.max(0, (face.correlation - 0.4) / 0.6) * face.inlierShare : 0;
  return Math.min(1, 1 - (1 - 0.9 * byRim) * (1 - 0.9 * byFace));
}

export const notMeasured = (tS: number): DiscMeasurement => ({
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
  tall: NaN,
  skew: NaN,
  turnRad: NaN,
});
