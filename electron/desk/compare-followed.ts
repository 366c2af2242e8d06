import { setImmediate } from 'node:timers/promises';
import type { UsualReps } from '../../shared-lib/contract/band.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { PairFile, RepFileEntry } from '../../shared-lib/contract/files.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import { compareDrawn, drawModels, modelPair, type PairOptions } from '../../shared-lib/pair/changes.ts';
import { quarters, together, type Both, type Quarter } from '../../shared-lib/pair/joint-draws.ts';
import type { DrawTable, RepModel } from '../../shared-lib/pair/rep-model.ts';
import { measuresOf } from '../../shared-lib/pair/uncertainty.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import { throwIfStopped } from '../media/process.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { repEntry } from './clip-outputs.ts';
import { repsOfClip, type RepsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';
import type { PairRequest, PairSide } from './pair.ts';

/** One side of a pair, ready to be shown: the chosen rep in its clip. */
export interface ChosenRep {
  clip: RepsOfClip;
  entry: RepFileEntry;
  /** From 0. */
  index: number;
  loadKg: number | null;
}

export interface ComparedPair {
  pairFile: PairFile;
  /** What differs in the bodies, where they were marked. */
  body?: readonly string[];
  chosen: Record<SideName, ChosenRep>;
}

/** What is asked of two followed clips. */
export type PairQuestion = Pick<PairRequest, 'lift' | 'sameCamera'> &
  Record<SideName, Pick<PairSide, 'rep' | 'loadKg' | 'events'>> & {
    usual?: UsualReps;
    /** As people said; null where nobody did. */
    sameVariant?: boolean | null;
  };

type Followed = Record<SideName, FollowedClip>;

/**
 * Compares the chosen reps of two followed clips.
 *
 * @param aside draws half of the draws elsewhere meanwhile; without it all are drawn here
 */
export async function compareFollowed(
  question: PairQuestion,
  followed: Followed,
  job: Job,
  aside?: (which: readonly Quarter[]) => Promise<Both<DrawTable>>,
): Promise<ComparedPair> {
  const { lift, sameCamera } = question;
  // Told first: the other thread has as much to work out before it draws.
  const elsewhere = aside?.([2, 3]);
  // Its failure is heard when it is waited for.
  elsewhere?.catch(() => undefined);
  const { reps, options } = asked(question, followed);
  await setImmediate();
  throwIfStopped(job.signal);
  const models = modelPair(reps.reference.clip.measured, reps.today.clip.measured, options);
  const own = drawModels(models, { ...options, onProgress: job.onProgress }, elsewhere ? [0, 1] : quarters);
  const tables = elsewhere ? together(own, await elsewhere) : own;
  const compared = compareDrawn({ models, tables }, options);
  const chosen = {
    reference: { ...reps.reference, entry: entryOf(reps.reference, models[0], tables[0]) },
    today: { ...reps.today, entry: entryOf(reps.today, models[1], tables[1]) },
  };
  const pairFile: PairFile = {
    schema: 1,
    lift,
    reference: sideOf(chosen.reference),
    today: sideOf(chosen.today),
    sameCamera,
    knots: compared.knots,
    smoothing: { method: texts.clip.smoothing, cutoffHz: compared.cutoffHz },
    draws: compared.draws,
    notes: compared.notes,
    changes: compared.changes,
  };
  return { pairFile, chosen };
}

/** Some of the draws that `compareFollowed` compares by. */
export function drawFollowed(
  question: PairQuestion,
  followed: Followed,
  which: readonly Quarter[],
  { onProgress }: Pick<Job, 'onProgress'>,
): Both<DrawTable> {
  const { reps, options } = asked(question, followed);
  const models = modelPair(reps.reference.clip.measured, reps.today.clip.measured, options);
  return drawModels(models, { ...options, onProgress }, which);
}

function asked(question: PairQuestion, followed: Followed) {
  const { lift, sameCamera, sameVariant = null, usual } = question;
  const reps = {
    reference: repOf(question.reference, followed.reference, lift),
    today: repOf(question.today, followed.today, lift),
  };
  const options: PairOptions = {
    referenceRep: reps.reference.index,
    todayRep: reps.today.index,
    referenceKg: question.reference.loadKg,
    todayKg: question.today.loadKg,
    sameCamera,
    sameVariant,
    ...(usual ? { usual } : {}),
  };
  return { reps, options };
}

const entryOf = (
  { clip, index }: Omit<ChosenRep, 'entry'>,
  model: RepModel,
  table: DrawTable,
): RepFileEntry => repEntry(clip.reps[index], index, measuresOf(model, table));

function repOf(
  side: Pick<PairSide, 'rep' | 'loadKg' | 'events'>,
  followed: FollowedClip,
  lift: Lift,
): Omit<ChosenRep, 'entry'> {
  const clip = repsOfClip(followed, lift, side.events);
  const index = (side.rep ?? 1) - 1;
  if (index >= clip.reps.length) {
    const count = clip.reps.length === 1 ? 'a single rep' : `${clip.reps.length} reps`;
    throw new Failure(
      'usage',
      `${followed.file} holds ${count}, not ${index + 1}.`,
      'Choose a rep that is there.',
    );
  }
  return { clip, index, loadKg: side.loadKg };
}

const sideOf = ({ clip, index, loadKg }: ChosenRep): PairFile['reference'] => ({
  clip: clip.clipFile.media.file,
  rep: index + 1,
  loadKg,
});
