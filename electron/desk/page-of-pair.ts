import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Knot, PairFile } from '../../shared-lib/contract/files.ts';
import type { PageInput, PixelPath, StillPair } from '../../shared-lib/page/page-input.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import { writtenSections } from '../../shared-lib/hand-back/written.ts';
import { headlineSentences } from '../../shared-lib/pair/headline-sentences.ts';
import type { MediaTools } from '../media/find-ffmpeg.ts';
import { inFirstFrame, inFrame } from '../media/film-origin.ts';
import { realTimes, type FilmSide, type SideName } from '../media/film-spec.ts';
import { frameAt } from '../../shared-lib/motion/frame-times.ts';
import { makeStills } from '../media/stills.ts';
import { filmSide, isMirrored, type ChosenPair } from './film-of-pair.ts';
import { pageRep } from './page-rep.ts';
import type { Job } from './follow-clip.ts';
import { sideBySide } from './jobs.ts';
import type { Told } from './told.ts';

/** Stills are read on a phone or on paper: no wider than this, pixels. */
const stillWidthPx = 720;

export async function pageInput(
  pair: PairFile,
  chosen: ChosenPair,
  filmFile: string | null,
  tools: MediaTools,
  told: Told,
  body: readonly string[],
  job: Job,
): Promise<PageInput> {
  const matched = picturedKnots(pair.knots);
  const pictures = await stillPairs(pair, chosen, [...matched, ...told.moments], tools, job);
  return {
    pair,
    reference: pageRep(chosen.reference),
    today: pageRep(chosen.today),
    headlines: headlineSentences(pair.changes, pair.lift),
    body,
    bands: [],
    stills: matched.map(({ event }, i) => ({ event, ...pictures[i] })),
    filmFile,
    lifter: told.lifter,
    days: told.days,
    letter: writtenSections(told.parts, told.said),
    cueStills: told.moments.map(({ cue, referenceS, todayS }, i) => ({
      cue,
      event: texts.page.moments.ofCue,
      atS: { reference: referenceS, today: todayS },
      ...pictures[matched.length + i],
    })),
    recordOpen: !told.coached,
  };
}

/** Events closer together than this show the same picture, seconds. */
const samePictureS = 0.15;

/** Matched events worth a picture each: on the bench the touch stands for the bottom, in a squat the bottom for the drive's start. */
function picturedKnots(knots: readonly Knot[]): Knot[] {
  const touched = knots.some(({ event }) => event === 'touch');
  const bottom = knots.find(({ event }) => event === 'bottom');
  return knots.filter(({ event, referenceS, todayS }) => {
    if (event === 'bottom') return !touched;
    if (event !== 'drive start' || touched || !bottom) return true;
    return Math.max(referenceS - bottom.referenceS, todayS - bottom.todayS) > samePictureS;
  });
}

/** Stills of both reps at each moment, with the bar's way up to there. */
async function stillPairs(
  pair: PairFile,
  chosen: ChosenPair,
  moments: readonly Pick<Knot, 'referenceS' | 'todayS'>[],
  tools: MediaTools,
  job: Job,
): Promise<Omit<StillPair, 'event'>[]> {
  const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-page-'));
  try {
    const sides = {
      reference: filmSide(chosen.reference, '', false),
      today: filmSide(chosen.today, '', isMirrored(chosen)),
    };
    const widthPx = Math.min(stillWidthPx, sides.reference.media.widthPx, sides.today.media.widthPx);
    const start = pair.knots[0];
    const stillsOf = async (name: SideName, signal: AbortSignal): Promise<Still[]> => {
      const side = sides[name];
      const tS = realTimes(side);
      const frames = moments.map((knot) => frameAt(tS, knot[`${name}S`]));
      const files = frames.map((_, i) => path.join(folder, `${name}-${i}.jpg`));
      await makeStills(
        { path: side.path, ptsS: side.samples.map(({ ptsS }) => ptsS), ...side.media },
        frames.map((frame, i) => ({ frame, file: files[i] })),
        { ffmpeg: tools.ffmpeg, mirror: side.mirror, widthPx, signal },
      );
      const first = frameAt(tS, start[`${name}S`]);
      return Promise.all(
        frames.map(async (frame, i) => ({
          jpeg: await readFile(files[i], 'base64'),
          path: pixelPath(side, first, frame, widthPx),
          heightPx: Math.round((side.media.heightPx * widthPx) / side.media.widthPx),
        })),
      );
    };
    const [reference, today] = await sideBySide(
      job,
      (signal) => stillsOf('reference', signal),
      (signal) => stillsOf('today', signal),
    );
    job.onProgress(1);
    return moments.map((_, i) => ({
      widthPx,
      heightPx: reference[i].heightPx,
      referenceJpeg: reference[i].jpeg,
      todayJpeg: today[i].jpeg,
      referencePath: reference[i].path,
      todayPath: today[i].path,
    }));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

interface Still {
  jpeg: string;
  path: PixelPath;
  heightPx: number;
}

/** The bar's way from one frame to another as that last frame's picture shows it, in pixels of its still. */
function pixelPath(side: FilmSide, from: number, to: number, widthPx: number): PixelPath {
  const factor = widthPx / side.media.widthPx;
  const points: [number, number][] = [];
  for (let i = from; i <= to; i++) {
    if (side.samples[i].state === 'lost') continue;
    const { xPx, yPx } = inFrame(side, to, inFirstFrame(side, i));
    const x = (xPx + 0.5) * factor - 0.5;
    points.push([side.mirror ? widthPx - 1 - x : x, (yPx + 0.5) * factor - 0.5]);
  }
  return points;
}
