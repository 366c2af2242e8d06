import { setImmediate } from 'node:timers/promises';
import type { UsualReps } from '../../shared-lib/contract/band.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { PairFile, RepFileEntry } from '../../shared-lib/contract/files.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { changesCsv } from '../../shared-lib/page/csv.ts';
import { renderPage } from '../../shared-lib/page/page.ts';
import { comparePair } from '../../shared-lib/pair/changes.ts';
import { sideNames, type SetEvent, type SideName } from '../../shared-lib/contract/review.ts';
import { findTools, type MediaTools } from '../media/find-ffmpeg.ts';
import { makeFilm } from '../media/film.ts';
import { throwIfStopped } from '../media/process.ts';
import { asJson, clipFiles, repEntries, writeClipFiles } from './clip-outputs.ts';
import { filmSpec } from './film-of-pair.ts';
import {
  followClip,
  repsOfClip,
  smoothingMethod,
  type ClipRequest,
  type FollowedClip,
  type Job,
  type RepsOfClip,
} from './follow-clip.ts';
import { parts } from './jobs.ts';
import { OutputFolder } from './output-folder.ts';
import { toldOfPair, type Told } from './told.ts';
import { pageInput } from './page-of-pair.ts';

export interface PairSide {
  clip: ClipRequest;
  /** From 1; null for the first. */
  rep: number | null;
  loadKg: number | null;
  /** Events that a person moved. */
  events?: readonly SetEvent[];
}

export interface PairRequest {
  reference: PairSide;
  today: PairSide;
  lift: Lift;
  out: string;
  sameCamera: boolean;
}

const filmName = 'side-by-side.mp4';
export const pairFiles = [
  ...clipFiles.map((file) => `reference/${file}`),
  ...clipFiles.map((file) => `today/${file}`),
  'pair.json',
  'changes.csv',
  'page.html',
  filmName,
];

/** One side of a pair, ready to be shown: the chosen rep in its clip. */
export interface ChosenRep {
  clip: RepsOfClip;
  entry: RepFileEntry;
  /** From 0. */
  index: number;
  loadKg: number | null;
}

/** Compares two clips and writes both clips' files, the changes, the page and the film. */
export async function pair(request: PairRequest, job: Job): Promise<ComparedPair> {
  const tools = findTools();
  const out = await OutputFolder.open(request.out, pairFiles);
  try {
    const work = parts(job, {
      reference: 0.25,
      today: 0.25,
      comparing: 0.25,
      writing: 0.25,
    });
    const [reference, today] = await bothOrNeither(
      (signal) => followClip(request.reference.clip, tools, { ...work.reference, signal }),
      (signal) => followClip(request.today.clip, tools, { ...work.today, signal }),
      job.signal,
    );
    const compared = await compareFollowed(request, { reference, today }, work.comparing);
    const told = toldOfPair(compared.pairFile, compared.chosen);
    await writePair(compared, out, tools, told, work.writing);
    await out.commit();
    return compared;
  } catch (error) {
    await out.discard();
    throw error;
  }
}

export interface ComparedPair {
  pairFile: PairFile;
  /** What differs in the bodies, where they were marked. */
  body?: readonly string[];
  chosen: Record<SideName, ChosenRep & { entries: RepFileEntry[] }>;
}

/** What is asked of two followed clips. */
export type PairQuestion = Pick<PairRequest, 'lift' | 'sameCamera'> &
  Record<SideName, Pick<PairSide, 'rep' | 'loadKg' | 'events'>> & { usual?: UsualReps };

/** Finds and measures both clips' reps and compares the two that were chosen. */
export async function compareFollowed(
  question: PairQuestion,
  { reference, today }: Record<SideName, FollowedClip>,
  job: Job,
): Promise<ComparedPair> {
  const work = parts(job, { reference: 0.3, today: 0.3, comparing: 0.4 });
  const { lift, sameCamera } = question;
  const chosen = {
    reference: await choose(question.reference, reference, lift, work.reference),
    today: await choose(question.today, today, lift, work.today),
  };
  await setImmediate();
  throwIfStopped(job.signal);
  const compared = comparePair(chosen.reference.clip.measured, chosen.today.clip.measured, {
    referenceRep: chosen.reference.index,
    todayRep: chosen.today.index,
    referenceKg: question.reference.loadKg,
    todayKg: question.today.loadKg,
    sameCamera,
    ...(question.usual ? { usual: question.usual } : {}),
    onProgress: work.comparing.onProgress,
  });
  const pairFile: PairFile = {
    schema: 1,
    lift,
    reference: sideOf(chosen.reference),
    today: sideOf(chosen.today),
    sameCamera,
    knots: compared.knots,
    smoothing: { method: smoothingMethod, cutoffHz: compared.cutoffHz },
    draws: compared.draws,
    notes: compared.notes,
    changes: compared.changes,
  };
  return { pairFile, chosen };
}

/** Writes both clips' files, the changes, the page and the film. */
export async function writePair(
  { pairFile, chosen, body = [] }: ComparedPair,
  out: OutputFolder,
  tools: MediaTools,
  told: Told,
  job: Job,
): Promise<void> {
  const work = parts(job, { stills: 0.2, film: 0.8 });
  for (const side of sideNames) {
    await writeClipFiles(out, chosen[side].clip, chosen[side].entries, `${side}/`);
  }
  await out.write('pair.json', asJson(pairFile));
  await out.write('changes.csv', changesCsv(pairFile.changes));
  const input = await pageInput(pairFile, chosen, filmName, tools, told, body, work.stills);
  await out.write('page.html', renderPage(input));
  await makeFilm(filmSpec(pairFile, chosen, told), await out.pathFor(filmName), {
    ffmpeg: tools.ffmpeg,
    signal: job.signal,
    onProgress: work.film.onProgress,
  });
}

/** Runs two jobs side by side; when one fails the other is stopped and waited for. */
async function bothOrNeither<A, B>(
  one: (signal: AbortSignal) => Promise<A>,
  other: (signal: AbortSignal) => Promise<B>,
  signal: AbortSignal,
): Promise<[A, B]> {
  const stop = new AbortController();
  const either = AbortSignal.any([signal, stop.signal]);
  let first: unknown;
  const guarded = <T>(job: Promise<T>): Promise<T> =>
    job.catch((error: unknown) => {
      first ??= error;
      stop.abort();
      throw error;
    });
  const [a, b] = await Promise.allSettled([guarded(one(either)), guarded(other(either))]);
  if (a.status === 'fulfilled' && b.status === 'fulfilled') return [a.value, b.value];
  throw first;
}

async function choose(
  side: Pick<PairSide, 'rep' | 'loadKg' | 'events'>,
  followed: FollowedClip,
  lift: Lift,
  job: Job,
): Promise<ChosenRep & { entries: RepFileEntry[] }> {
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
  const entries = await repEntries(clip, job);
  return { clip, entry: entries[index], entries, index, loadKg: side.loadKg };
}

const sideOf = ({ clip, index, loadKg }: ChosenRep): PairFile['reference'] => ({
  clip: clip.clipFile.media.file,
  rep: index + 1,
  loadKg,
});
