import type { PairFile } from '../../shared-lib/contract/files.ts';
import { load } from '../../shared-lib/pair/units.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import { standingFromS } from '../../shared-lib/rep/origin.ts';
import type { FilmSide, FilmSpec } from '../media/film-spec.ts';
import { pageRep } from './page-rep.ts';
import type { ChosenRep } from './compare-followed.ts';
import type { Told } from './told.ts';

export interface ChosenPair {
  reference: ChosenRep;
  today: ChosenRep;
}

const words = texts.film;

/** Today's clip is mirrored where its lifter faces the other way. */
export const isMirrored = ({ reference, today }: ChosenPair): boolean =>
  reference.clip.followed.calibration.facing !== today.clip.followed.calibration.facing;

export function filmSpec(
  pairFile: PairFile,
  chosen: ChosenPair,
  told: Pick<Told, 'moments' | 'film'> = { moments: [], film: 'landscape' },
): FilmSpec {
  return {
    lift: pairFile.lift,
    reference: filmSide(chosen.reference, words.reference, false),
    today: filmSide(chosen.today, words.today, isMirrored(chosen)),
    // The bottom of a paused bar is any moment of the pause: the drive's start keeps both in step.
    knots: pairFile.knots.filter(({ event }) => event !== 'bottom'),
    caution: words.caution,
    moments: told.moments,
    slowed: { reference: looked(chosen.reference), today: looked(chosen.today) },
    shape: told.film,
  };
}

/** Where lifters look: the turn, the slowest point of the drive, and the lockout. */
const events = new Set(['touch', 'lift-off', 'drive start', 'slowest point', 'lockout']);
const looked = (rep: ChosenRep): number[] =>
  pageRep(rep).events.flatMap(({ name, tS }) => (events.has(name) ? [tS] : []));

export function filmSide(
  { clip, index, loadKg }: Pick<ChosenRep, 'clip' | 'index' | 'loadKg'>,
  word: string,
  mirror: boolean,
): FilmSide {
  const { followed, reps, smoothed } = clip;
  const { window, events } = reps[index];
  return {
    path: followed.file,
    media: followed.media,
    calibration: followed.calibration,
    samples: followed.trace.samples,
    plane: followed.plane,
    window,
    standingFromS: standingFromS(smoothed.motion, events.startS),
    mirror,
    title: loadKg === null ? word : words.titled(word, load(loadKg)),
  };
}
