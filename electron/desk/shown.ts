import type { FollowedSide, FrameTrack, LineUp, MeasuredSide } from '../../shared-lib/contract/line-up.ts';
import { headlineSentences } from '../../shared-lib/pair/headline-sentences.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import type { BarPath } from '../../shared-lib/page/page-input.ts';
import { otherPath } from '../media/film-paths.ts';
import { frameAt } from '../../shared-lib/motion/frame-times.ts';
import { originsOf } from '../media/film-origin.ts';
import { realTimes } from '../media/film-spec.ts';
import { filmSpec, isMirrored } from './film-of-pair.ts';
import { pageRep } from './page-rep.ts';
import type { ChosenRep, ComparedPair } from './compare-followed.ts';
import type { FollowedClip } from './calibrated-clip.ts';

/** What the screens draw of a compared pair, as plain values. */
export function lineUpOf({ pairFile, chosen }: ComparedPair): LineUp {
  const spec = filmSpec(pairFile, chosen);
  const origins = originsOf(spec);
  const laidInto = (name: SideName): [number, number][] => {
    const other = name === 'reference' ? 'today' : 'reference';
    const { tS } = trackOf(chosen[other].clip.followed);
    const last = frameAt(tS, spec.knots.at(-1)![`${other}S`]);
    return otherPath(spec, other, last, spec[name], origins[name], origins[other])
      .flat()
      .map(({ xPx, yPx }) => [xPx, yPx]);
  };
  return {
    otherPathPx: { reference: laidInto('reference'), today: laidInto('today') },
    pair: pairFile,
    reference: sideOf(chosen.reference, origins.reference),
    today: sideOf(chosen.today, origins.today),
    mirrorToday: isMirrored(chosen),
    headlines: headlineSentences(pairFile.changes, pairFile.lift),
  };
}

function sideOf(chosen: ChosenRep, origin: { xPx: number; yPx: number }): FollowedSide {
  const { clip, index } = chosen;
  const { path, phases, events, rep } = pageRep(chosen);
  const { fromS, toS } = clip.reps[index].window;
  return {
    clip: clip.clipFile,
    track: trackOf(clip.followed),
    rim: clip.followed.trace.rim,
    repCount: clip.reps.length,
    reps: [
      {
        rep,
        window: { fromS, toS },
        path: shownPath(path),
        phases: [...phases],
        events: [...events],
        originPx: { xPx: origin.xPx, yPx: origin.yPx },
      },
    ],
  };
}

/** A path as the screens take it. */
export const shownPath = (path: BarPath): MeasuredSide['reps'][number]['path'] => ({
  tS: [...path.tS],
  xM: path.xM.map(orNull),
  yM: path.yM.map(orNull),
  vyMps: path.vyMps.map(orNull),
});

export function trackOf({ trace: { samples, leftOut = [] }, calibration }: FollowedClip): FrameTrack {
  const moved = samples.some(({ camera }) => camera.scale !== 1 || camera.txPx !== 0 || camera.tyPx !== 0);
  return {
    ptsS: samples.map(({ ptsS }) => ptsS),
    tS: realTimes({ samples, calibration }),
    xPx: samples.map(({ xPx }) => orNull(xPx)),
    yPx: samples.map(({ yPx }) => orNull(yPx)),
    confidence: samples.map(({ confidence }) => confidence),
    state: samples.map(({ state }) => state),
    leftOut: [...leftOut],
    camera: moved ? samples.map(({ camera }) => camera) : [],
  };
}

const orNull = (value: number): number | null => (Number.isFinite(value) ? value : null);
