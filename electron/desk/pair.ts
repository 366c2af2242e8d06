import { setImmediate } from 'node:timers/promises';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { PairFile, RepFileEntry } from '../../shared-lib/contract/files.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { changesCsv } from '../../shared-lib/page/csv.ts';
import { renderPage } from '../../shared-lib/page/page.ts';
import { comparePair } from '../../shared-lib/pair/changes.ts';
import { findTools } from '../media/find-ffmpeg.ts';
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
import { pageInput } from './page-of-pair.ts';

export interface PairSide {
  clip: ClipRequest;
  /** From 1; null for the first. */
  rep: number | null;
  loadKg: number | null;
}

export interface PairRequest {
  reference: PairSide;
  today: PairSide;
  lift: Lift;
  out: string;
  sameCamera: boolean;
}

const filmName = 'side-by-side.mp4';
const pairFiles = [
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
export async function pair(request: PairRequest, job: Job): Promise<PairFile> {
  const tools = findTools();
  const out = await OutputFolder.open(request.out, pairFiles);
  try {
    const work = parts(job, {
      reference: 0.25,
      today: 0.25,
      measuring: 0.15,
      comparing: 0.1,
      stills: 0.05,
      film: 0.2,
    });
    const [reference, today] = await bothOrNeither(
      (signal) => followClip(request.reference.clip, tools, { ...work.reference, signal }),
      (signal) => followClip(request.today.clip, tools, { ...work.today, signal }),
      job.signal,
    );
    const halves = parts(work.measuring, { reference: 1, today: 1 });
    const chosen = {
      reference: await choose(request.reference, reference, request.lift, halves.reference),
      today: await choose(request.today, today, request.lift, halves.today),
    };

    await setImmediate();
    throwIfStopped(job.signal);
    const compared = comparePair(chosen.reference.clip.measured, chosen.today.clip.measured, {
      referenceRep: chosen.reference.index,
      todayRep: chosen.today.index,
      referenceKg: request.reference.loadKg,
      todayKg: request.today.loadKg,
      sameCamera: request.sameCamera,
      onProgress: work.comparing.onProgress,
    });
    const pairFile: PairFile = {
      schema: 1,
      lift: request.lift,
      reference: sideOf(chosen.reference),
      today: sideOf(chosen.today),
      sameCamera: request.sameCamera,
      knots: compared.knots,
      smoothing: { method: smoothingMethod, cutoffHz: compared.cutoffHz },
      draws: compared.draws,
      notes: compared.notes,
      changes: compared.changes,
    };

    for (const side of ['reference', 'today'] as const) {
      await writeClipFiles(out, chosen[side].clip, chosen[side].entries, `${side}/`);
    }
    await out.write('pair.json', asJson(pairFile));
    await out.write('changes.csv', changesCsv(compared.changes));
    const input = await pageInput(pairFile, chosen, filmName, tools, work.stills);
    await out.write('page.html', renderPage(input));
    await makeFilm(filmSpec(pairFile, chosen), await out.pathFor(filmName), {
      ffmpeg: tools.ffmpeg,
      signal: job.signal,
      onProgress: work.film.onProgress,
    });
    await out.commit();
    return pairFile;
  } catch (error) {
    await out.discard();
    throw error;
  }
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
  side: PairSide,
  followed: FollowedClip,
  lift: Lift,
  job: Job,
): Promise<ChosenRep & { entries: RepFileEntry[] }> {
  const clip = repsOfClip(followed, lift);
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
