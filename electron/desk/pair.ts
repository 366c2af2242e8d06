import { isDeepStrictEqual } from 'node:util';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { changesCsv } from '../../shared-lib/page/csv.ts';
import { renderPage } from '../../shared-lib/page/page.ts';
import { sideNames, type SetEvent, type SideName } from '../../shared-lib/contract/review.ts';
import type { HandedBack } from '../../shared-lib/contract/hand-back.ts';
import { findTools, type MediaTools } from '../media/find-ffmpeg.ts';
import { makeFilm } from '../media/film.ts';
import { endTracing } from '../tracing/track-in-worker.ts';
import { asJson, clipFiles, repEntries, writeClipFiles } from './clip-outputs.ts';
import type { ComparedPair } from './compare-followed.ts';
import { compareOnThread } from './compare-on-thread.ts';
import { filmSpec } from './film-of-pair.ts';
import { followClip, type ClipRequest, type Job } from './follow-clip.ts';
import { parts, sideBySide } from './jobs.ts';
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
const pageName = 'page.html';
const stillName = 'still.png';
/** What is written of a pair, by what it is for. */
export const filesOf: Record<HandedBack, readonly string[]> = {
  page: [pageName],
  film: [filmName],
  still: [stillName],
  data: [
    ...sideNames.flatMap((side) => clipFiles.map((file) => `${side}/${file}`)),
    'pair.json',
    'changes.csv',
  ],
};
/** What the command line writes. */
export const pairFiles = [...filesOf.data, ...filesOf.page, ...filesOf.film];

/** What is wanted of a pair, and the still's moment: real seconds of the reference clip. */
export interface Wanted {
  parts: ReadonlySet<HandedBack>;
  stillAtS: number;
}
const allButStill: Wanted = { parts: new Set(['page', 'film', 'data']), stillAtS: 0 };

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
    // Two reps of one set lie in one clip, which is followed once.
    const isOne = isDeepStrictEqual(request.reference.clip, request.today.clip);
    const [reference, today = reference] = await sideBySide(
      job,
      ...(isOne ? (['reference'] as const) : sideNames).map(
        (side) => (signal: AbortSignal) => followClip(request[side].clip, tools, { ...work[side], signal }),
      ),
    );
    endTracing();
    if (isOne) work.today.onProgress(1);
    const compared = await compareOnThread(request, { reference, today }, work.comparing);
    const told = toldOfPair(compared.pairFile, compared.chosen);
    await writePair(compared, out, tools, told, work.writing);
    await out.commit();
    return compared;
  } catch (error) {
    await out.discard();
    throw error;
  }
}

/** Writes what is wanted: both clips' files and the changes, the page, the film, one picture of it. */
export async function writePair(
  { pairFile, chosen, body = [] }: ComparedPair,
  out: OutputFolder,
  tools: MediaTools,
  told: Told,
  job: Job,
  wanted = allButStill,
): Promise<void> {
  const has = (part: HandedBack): boolean => wanted.parts.has(part);
  const work = parts(job, {
    data: has('data') ? 0.1 : 0,
    page: has('page') ? 0.1 : 0,
    still: has('still') ? 0.2 : 0,
    film: has('film') ? 0.8 : 0,
  });
  const spec = filmSpec(pairFile, chosen, told);
  const make = async (name: string, { signal, onProgress }: Job, stillAtS?: number): Promise<void> =>
    makeFilm(spec, await out.pathFor(name), {
      ffmpeg: tools.ffmpeg,
      signal,
      onProgress,
      ...(stillAtS === undefined ? {} : { stillAtS }),
    });
  const writing: Record<HandedBack, (job: Job) => Promise<void>> = {
    data: (each) => writeData({ pairFile, chosen }, out, each),
    page: async (each) => {
      const film = has('film') ? filmName : null;
      const input = await pageInput(pairFile, chosen, film, tools, told, body, each);
      await out.write(pageName, renderPage(input));
    },
    still: (each) => make(stillName, each, wanted.stillAtS),
    film: (each) => make(filmName, each),
  };
  // The film by itself keeps two cores busy, and takes half a gigabyte.
  for (const together of [['data', 'page'], ['still'], ['film']] as const) {
    await sideBySide(
      job,
      ...together
        .filter(has)
        .map((part) => (signal: AbortSignal) => writing[part]({ ...work[part], signal })),
    );
  }
}

async function writeData({ pairFile, chosen }: ComparedPair, out: OutputFolder, job: Job): Promise<void> {
  const work = parts(job, { reference: 0.5, today: 0.5 });
  const writeSide = async (side: SideName, signal: AbortSignal): Promise<void> => {
    const { clip, entry } = chosen[side];
    const each = { ...work[side], signal };
    await writeClipFiles(out, clip, await repEntries(clip, each, entry), each, `${side}/`);
  };
  await sideBySide(job, ...sideNames.map((side) => (signal: AbortSignal) => writeSide(side, signal)));
  await out.write('pair.json', asJson(pairFile));
  await out.write('changes.csv', changesCsv(pairFile.changes));
}
