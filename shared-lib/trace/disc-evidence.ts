import type { Rim } from '../contract/trace.ts';
import { registerFace, type FaceRegistration, type FaceTemplate } from '../picture/face-registration.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { findRimEdges, noRimEdges, type RimEdges } from '../picture/rim-edges.ts';
import { fitRimShift, type RimShift, type RimShiftOptions } from '../picture/rim-fit.ts';
import type { Position } from './fuse-positions.ts';
import { hiddenShare, trustOf, type RayMemory } from './ray-memory.ts';

/** A face's template and how far the disc has turned since it was taken. */
export interface TurnedFace {
  template: FaceTemplate;
  turnRad: number;
}

/** What is known of a disc before a picture is looked at. */
export interface ExpectedDisc {
  /** Its rim, centred where it is expected. */
  rim: Rim;
  /** One sigma of that place, pixels. */
  sigmaPx: number;
  /** One sigma of its size and of its stretch, relative. */
  shapeSigma: number;
  /** How far it moves from one picture to the next, pixels. */
  smear: { x: number; y: number };
  /** The face where it was found, which nothing drifts against. */
  face: TurnedFace;
  /** The face a few pictures ago, for when light, turn or angle have changed it beyond the first. */
  recent: TurnedFace;
  memory: RayMemory;
}

export interface PlacedRim {
  position: Position;
  shift: RimShift;
  /** Share of its rays that something else hides, as far as is known, 0 to 1. */
  hidden?: number;
}

export interface PlacedFace {
  position: Position;
  face: FaceRegistration;
  by: 'first' | 'recent';
}

/** What one picture shows near an expected disc; its edges until a disc is looked for again. */
export interface DiscEvidence {
  edges: RimEdges;
  rim: PlacedRim | null;
  face: PlacedFace | null;
}

export const rays = 128;
const minStep = 4;

/** Work space, for one disc after the other; never shared between workers. */
const room = noRimEdges(rays);

/** Looks for the rim and the face of an expected disc; either may be missing. */
export function lookForDisc(image: GreyImage, expected: ExpectedDisc, searchPx: number): DiscEvidence {
  const { rim: at, smear, memory } = expected;
  const about = { rays, searchPx, smearXPx: smear.x, smearYPx: smear.y, minStep };
  const edges = findRimEdges(image, at, about, room);
  const fitting = fittingOf(expected, searchPx);
  const found = placeRim(edges, memory, fitting, at.aPx);
  const rim = found && {
    ...found,
    hidden: hiddenShare(memory, image, edges, found.shift, at.aPx) ?? 0,
  };
  const placed = rim ? { ...at, xPx: rim.position.xPx, yPx: rim.position.yPx } : at;
  const face = placeFace(image, expected, placed) ?? (rim ? placeFace(image, expected, at) : null);
  return { edges, rim, face };
}

/** The rim round a place that the face tells, where the edges were led astray by something else. */
export function rimRound(expected: ExpectedDisc, edges: RimEdges, place: Position): PlacedRim | null {
  const around = { dx: place.xPx - edges.centre.xPx, dy: place.yPx - edges.centre.yPx };
  const fitting = { ...fittingOf(expected, 1.5), around, shiftSigmaPx: 1 };
  return placeRim(edges, expected.memory, fitting, expected.rim.aPx);
}

function fittingOf({ rim, sigmaPx, shapeSigma, smear }: ExpectedDisc, searchPx: number): RimShiftOptions {
  const smearPx = Math.hypot(smear.x, smear.y);
  return {
    maxShiftPx: searchPx,
    scaleSigma: shapeSigma,
    // Blur and the rows' read-out stretch a fast disc a little.
    stretchSigma: shapeSigma + (0.02 * smearPx) / rim.aPx,
    shiftSigmaPx: Math.max(2, sigmaPx),
    kernelPx: Math.max(1.2, 0.018 * rim.aPx) + 0.15 * smearPx,
  };
}

/** A rim of which less agrees, or which shows on one side only, is no rim. */
const leastShare = 0.3;
const leastSpread = 0.45;
/** What edges of the expected kind may all be off by, as share of the rim's radius and in pixels: measured on rendered clips. */
const edgeFlawShare = 0.0006;
const edgeFlawPx = 0.05;

function placeRim(
  edges: RimEdges,
  memory: RayMemory,
  fitting: RimShiftOptions,
  radiusPx: number,
): PlacedRim | null {
  const first = fitRimShift(edges, fitting);
  if (!first) return null;
  // Rays that met something else than they are used to are hidden: fit again without them.
  const trust = trustOf(memory, edges, first);
  const around = { dx: first.dxPx, dy: first.dyPx };
  const settled = trust && fitRimShift(edges, { ...fitting, around, maxShiftPx: fitting.kernelPx, trust });
  const shift = settled ?? first;
  if (shift.inlierShare < leastShare || shift.spread < leastSpread) return null;
  const flaw = (edgeFlawPx + edgeFlawShare * radiusPx) ** 2;
  const position = {
    xPx: edges.centre.xPx + shift.dxPx,
    yPx: edges.centre.yPx + shift.dyPx,
    varXPx2: shift.varXPx2 + flaw,
    varYPx2: shift.varYPx2 + flaw,
    covXYPx2: shift.covXYPx2,
  };
  return { position, shift };
}

/** The face by its first template, or by a recent one where that is more like it now. */
function placeFace(image: GreyImage, expected: ExpectedDisc, at: Rim): PlacedFace | null {
  const first = registered(image, expected.face, at, 'first');
  if (first && isSure(first.face)) return first;
  const recent = registered(image, expected.recent, at, 'recent');
  // A recent template alone could wander off step by step: the first must at least not contradict it.
  if (!first || !recent) return first;
  return recent.face.correlation > first.face.correlation ? recent : first;
}

/** Correlations below which a face is no evidence: light that stays while the disc turns lowers the first's. */
const leastLikeness = { first: 0.3, recent: 0.7 };
const leastFaceShare = 0.4;
/** What each template's own place is uncertain by, px². */
const ownVarPx2 = { first: 0, recent: 0.1 ** 2 };

function registered(
  image: GreyImage,
  { template, turnRad }: TurnedFace,
  at: Rim,
  by: PlacedFace['by'],
): PlacedFace | null {
  const face = registerFace(image, template, at, turnRad);
  if (!face || face.correlation < leastLikeness[by] || face.inlierShare < leastFaceShare) return null;
  const position = {
    xPx: at.xPx + face.dxPx,
    yPx: at.yPx + face.dyPx,
    varXPx2: face.varXPx2 + ownVarPx2[by],
    varYPx2: face.varYPx2 + ownVarPx2[by],
    covXYPx2: face.covXYPx2,
  };
  return { position, face, by };
}

/** A face this like its template is the disc's own, whatever the edges round it say. */
export const isSure = (face: FaceRegistration): boolean =>
  face.correlation >= 0.85 && face.inlierShare >= 0.6;
