import { stat } from 'node:fs/promises';
import path from 'node:path';
import { handedBack, type Letter } from '../../shared-lib/contract/hand-back.ts';
import type { InputOf, OutputOf } from '../../shared-lib/contract/desk.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { Review, SideName } from '../../shared-lib/contract/review.ts';
import type { CueNow } from '../../shared-lib/contract/weeks.ts';
import { messageOf } from '../../shared-lib/hand-back/message.ts';
import { earlierCuesOf, type Measuring } from './coaching.ts';
import { frameAt } from '../../shared-lib/motion/frame-times.ts';
import { realTimes } from '../media/film-spec.ts';
import { throwIfStopped } from '../media/process.ts';
import { repsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';
import type { Desk } from './handlers.ts';
import { parts } from './jobs.ts';
import { OutputFolder } from './output-folder.ts';
import type { ComparedPair } from './compare-followed.ts';
import { filesOf, writePair } from './pair.ts';
import type { Handlers } from './switchboard.ts';
import { toldOf, type Told } from './told.ts';

/** Where a review's film, page and data lie, inside its own folder. */
export const handBackFolder = 'hand-back';

interface Comparing extends Measuring {
  compare: (review: Review, job: Job) => Promise<ComparedPair>;
}

/** The commands about what leaves the machine. */
export function handBackHandlers(
  desk: Desk,
  comparing: Comparing,
): Pick<Handlers, 'letter' | 'message' | 'handBack'> {
  return {
    letter: async ({ id }, job): Promise<Letter> => {
      const review = await desk.reviews.open(id);
      const { compared, told } = await prepared(desk, review, comparing, job);
      const frameOf = (name: SideName, tS: number): number => {
        const { trace, calibration } = compared.chosen[name].clip.followed;
        return frameAt(realTimes({ samples: trace.samples, calibration }), tS);
      };
      return {
        parts: told.parts,
        moments: told.moments.map(({ cue, referenceS, todayS }) => ({
          cue,
          referenceS,
          todayS,
          referenceFrame: frameOf('reference', referenceS),
          todayFrame: frameOf('today', todayS),
        })),
      };
    },
    message: async ({ id }, job) => ({ text: await messageFor(await desk.reviews.open(id), comparing, job) }),
    handBack: async (input, job) => handBack(desk, input, comparing, job),
  };
}

/** What to ask the lifter for; a clip that cannot be measured is told by its failure. */
async function messageFor(review: Review, { follow }: Measuring, job: Job): Promise<string | null> {
  const { today, lift } = review;
  if (!today) return messageOf(review, null);
  try {
    const clip = repsOfClip(await follow({ ...today, lift }, job), lift, today.events);
    return messageOf(review, clip.clipFile);
  } catch (error) {
    throwIfStopped(job.signal);
    if (!(error instanceof Failure)) throw error;
    return messageOf(review, error);
  }
}

async function prepared(
  desk: Desk,
  review: Review,
  comparing: Comparing,
  job: Job,
): Promise<{ compared: ComparedPair; told: Told }> {
  const work = parts(job, { comparing: 0.8, earlier: 0.2 });
  const compared = await comparing.compare(review, work.comparing);
  const earlier: CueNow[] = await earlierCuesOf(desk, review, comparing, work.earlier);
  return { compared, told: toldOf(review, compared.pairFile, compared.chosen, earlier) };
}

async function handBack(
  desk: Desk,
  { id, wanted, stillAtS }: InputOf<'handBack'>,
  comparing: Comparing,
  job: Job,
): Promise<OutputOf<'handBack'>> {
  const review = await desk.reviews.open(id);
  const work = parts(job, { comparing: 0.4, writing: 0.6 });
  const { compared, told } = await prepared(desk, review, comparing, work.comparing);
  const folder = path.join(desk.reviews.folderOf(review.id), handBackFolder);
  const kinds = handedBack.filter((kind) => wanted.includes(kind));
  const files = kinds.flatMap((kind) => filesOf[kind].map((name) => ({ name, kind })));
  const out = await OutputFolder.open(
    folder,
    files.map(({ name }) => name),
  );
  try {
    const drive = compared.pairFile.knots.find(({ event }) => event === 'drive start');
    const what = { parts: new Set(kinds), stillAtS: stillAtS ?? drive?.referenceS ?? 0 };
    await writePair(compared, out, desk.tools(), told, work.writing, what);
    await out.commit();
  } catch (error) {
    await out.discard();
    throw error;
  }
  const sized = files.map(async (file) => ({
    ...file,
    bytes: (await stat(path.join(folder, file.name))).size,
  }));
  return { folder, files: await Promise.all(sized) };
}
