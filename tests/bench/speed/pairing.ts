import path from 'node:path';
import { calibrated } from '../../../electron/desk/calibrated-clip.ts';
import type { ComparisonInput } from '../../../electron/desk/compare-on-thread.ts';
import { filmSpec } from '../../../electron/desk/film-of-pair.ts';
import { decodedShare, trackFile } from '../../../electron/desk/follow-clip.ts';
import { unwatched } from '../../../electron/desk/jobs.ts';
import { pageInput } from '../../../electron/desk/page-of-pair.ts';
import type { ComparedPair } from '../../../electron/desk/compare-followed.ts';
import { toldOfPair } from '../../../electron/desk/told.ts';
import { layOutTime, filmFps } from '../../../electron/media/film-timeline.ts';
import { makeFilm } from '../../../electron/media/film.ts';
import { amongClips } from '../../../electron/tracing/among-clips.ts';
import { onKeptThread, startAhead } from '../../../electron/kept-threads.ts';
import type { TrackedClip } from '../../../electron/tracing/track-clip.ts';
import { tracingKept } from '../../../electron/tracing/track-in-worker.ts';
import { nothingSaid, type SideName } from '../../../shared-lib/contract/review.ts';
import { renderPage } from '../../../shared-lib/page/page.ts';
import { another, ordinary } from './clips.ts';
import { builtAs, medians, type SpeedBench } from './speed-bench.ts';
import { timedTogether } from './timed-child.ts';

/** Share of following's progress at which the last picture has been looked at. */
const allSeen = 0.78;

/** A pair on the command line, and its stages one by one as the desk takes them. */
export async function pairing(bench: SpeedBench, scratch: string): Promise<void> {
  const [reference, today] = [(await bench.clip(ordinary(10))).file, (await bench.clip(another)).file];
  const two = ['pair', '--reference', reference, '--today', today, '--lift', 'squat'];
  const { bare, own } = await medians(bench.rounds, {
    bare: () => timedTogether([() => bench.decode(reference), () => bench.decode(today)]),
    own: () => bench.run(...two),
  });
  const stages = await stagesOf(bench, { reference, today }, scratch);
  const atOnce = { unit: 'times two bare decodes at once', target: { most: 1.6 } };
  const changesS = stages.seenS + stages.settledS + stages.comparedS;
  bench.keep(
    { name: 'pair of 10 s clips, until the changes', value: changesS / bare.wallS, ...atOnce },
    { name: 'pair with page and film', value: own.wallS / bare.wallS, ...atOnce },
    {
      name: 'changes after the last picture',
      value: stages.settledS + stages.comparedS,
      unit: 's',
      target: { most: 1 },
    },
    { name: 'of it comparing', value: stages.comparedS, unit: 's' },
    { name: 'page', value: stages.pageS, unit: 's' },
    { name: 'film', value: stages.filmS / stages.playsS, unit: 'of playback', target: { most: 1 } },
    { name: 'memory of a pair', value: own.peakBytes / 1e6, unit: 'MB' },
  );
}

/** Seconds that each stage took. */
interface Stages {
  /** Until the last picture of both clips was looked at. */
  seenS: number;
  /** From there until both are followed. */
  settledS: number;
  comparedS: number;
  pageS: number;
  filmS: number;
  /** How long the film plays. */
  playsS: number;
}

async function stagesOf(
  { tools }: SpeedBench,
  files: Record<SideName, string>,
  scratch: string,
): Promise<Stages> {
  const job = unwatched();
  const beganMs = performance.now();
  const sinceS = (fromMs: number): number => (performance.now() - fromMs) / 1000;
  let seenS = 0;
  const seen = (share: number): void => {
    if (share <= allSeen) seenS = sinceS(beganMs);
    // As the desk does where it is built.
    if (share > decodedShare) startAhead(builtAs('drawing-worker.js'));
  };
  const follow = async (file: string) => {
    const tracked = await trackFile(
      file,
      nothingSaid,
      tools,
      { ...job, onProgress: seen },
      (request, options) =>
        amongClips((clips) =>
          onKeptThread<TrackedClip>(
            builtAs('tracing-worker.js'),
            { ...request, clips },
            options ?? {},
            tracingKept,
          ),
        ),
    );
    return calibrated(file, tracked, nothingSaid);
  };
  const [reference, today] = await Promise.all([follow(files.reference), follow(files.today)]);
  const settledS = sinceS(beganMs) - seenS;

  let fromMs = performance.now();
  const side = { rep: null, loadKg: null };
  const input: ComparisonInput = {
    question: { lift: 'squat', sameCamera: false, reference: side, today: side },
    followed: { reference, today },
  };
  const { pairFile, chosen } = await onKeptThread<ComparedPair>(builtAs('drawing-worker.js'), input, job);
  const comparedS = sinceS(fromMs);

  const told = toldOfPair(pairFile, chosen);
  fromMs = performance.now();
  renderPage(await pageInput(pairFile, chosen, 'film.mp4', tools, told, [], job));
  const pageS = sinceS(fromMs);

  const spec = filmSpec(pairFile, chosen, told);
  fromMs = performance.now();
  await makeFilm(spec, path.join(scratch, 'film.mp4'), { ffmpeg: tools.ffmpeg });
  const playsS = layOutTime(spec).pictures / filmFps;
  return { seenS, settledS, comparedS, pageS, filmS: sinceS(fromMs), playsS };
}
