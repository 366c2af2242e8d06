import {
  isSure,
  rimRound,
  type DiscEvidence,
  type ExpectedDisc,
  type PlacedFace,
  type PlacedRim,
} from './disc-evidence.ts';
import { fusePositions, misfit, type Position } from './fuse-positions.ts';

/** Where one picture shows the disc, and what says so. */
export interface JudgedDisc {
  position: Position;
  rim: PlacedRim | null;
  face: PlacedFace | null;
}

/**
 * Two positions are of one disc, or a position is where it was expected, up to this misfit: chi-square of two
 * degrees of freedom, one in a thousand.
 */
const gate = 13.8;
/** Rim and face may be apart by this beyond what they state: the face lies a little behind or before the rim's plane. */
const planePx = 0.3;
/** Alone, a rim must be this whole, since another disc has a rim too. */
const wholeShare = 0.6;
const wholeSpread = 0.75;
/** A rim that shows nearly all round is no other disc's: what looks like the face beside it is light that stays while a plain disc moves. */
const fullShare = 0.88;
const fullSpread = 0.99;

/**
 * What rim, face and prediction say together; null where they do not settle it. Rim and face that agree are
 * believed wherever they are found. One of them alone must be plain and lie where the disc is expected. Where they
 * disagree, the rim is looked for again round a plain face; else a rim wins that shows nearly all round where the disc is
 * expected, and else the face.
 */
export function judgeEvidence(
  expected: ExpectedDisc,
  evidence: DiscEvidence,
  predicted: Position,
): JudgedDisc | null {
  const { rim, face, edges } = evidence;
  if (rim && face && agree(rim.position, face.position)) return both(rim, face);
  if (face && isSure(face.face)) {
    const near = rimRound(expected, edges, face.position);
    if (near && agree(near.position, face.position)) return both(near, face);
    if (rim && isFull(rim) && misfit(rim.position, predicted) < gate)
      return { position: rim.position, rim, face: null };
    return misfit(face.position, predicted) < gate ? { position: face.position, rim: null, face } : null;
  }
  if (!rim || !(isWhole(rim) || isWholeWhereSeen(rim)) || misfit(rim.position, predicted) >= gate)
    return null;
  return { position: rim.position, rim, face: null };
}

export const isWhole = ({ shift }: PlacedRim): boolean =>
  shift.inlierShare >= wholeShare && shift.spread >= wholeSpread;

/** Of a rim that something is known to hide in part, so much must show, and so much of what is not hidden: set by judgement on rendered clips. */
const leastHidden = 0.1;
const seenShare = 0.45;
const seenSpread = 0.5;
const shareOfSeen = 0.7;

export const isPartlyHidden = ({ hidden = 0 }: PlacedRim): boolean => hidden >= leastHidden;

/** What hides some of the rim says nothing against the rest of it. */
const isWholeWhereSeen = (rim: PlacedRim): boolean =>
  isPartlyHidden(rim) &&
  rim.shift.inlierShare >= seenShare &&
  rim.shift.spread >= seenSpread &&
  rim.shift.inlierShare >= shareOfSeen * (1 - rim.hidden!);

const isFull = ({ shift }: PlacedRim): boolean =>
  shift.inlierShare >= fullShare && shift.spread >= fullSpread;

const both = (rim: PlacedRim, face: PlacedFace): JudgedDisc => ({
  position: fusePositions(rim.position, face.position),
  rim,
  face,
});

const agree = (one: Position, other: Position): boolean =>
  misfit(one, { ...other, varXPx2: other.varXPx2 + planePx ** 2, varYPx2: other.varYPx2 + planePx ** 2 }) <
  gate;
