import { bandHalfWidth } from '../../../shared-lib/band/measure-band.ts';
import { bandOf } from '../../../shared-lib/band/spread.ts';
import type { UsualReps } from '../../../shared-lib/contract/band.ts';
import { measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import { compareDrawn, drawPair } from '../../../shared-lib/pair/changes.ts';
import { measureWithUncertainty } from '../../../shared-lib/pair/uncertainty.ts';
import { judged, type Judged, type Trial } from '../../unit/pair/trials.ts';
import type { LifterDraw } from './draw-lifter.ts';
import { measuredFilm, type MeasuredFilm } from './measured-film.ts';
import { trueMeasures } from './plant.ts';

/** What was said of one rep of today against the first usual one, and where it lies in the lifter's band. */
export interface UsualTrial {
  trial: Trial;
  /** Stated: the band; truth: what today's rep measures. */
  inBand: Partial<Record<MeasureName, Judged>>;
}

/** Films a lifter's three days and compares each rep of the last with the first of the first, the lifter's usual reps known. */
export async function compareWithUsual(
  { lift, days }: LifterDraw,
  { cache, draws, fresh }: { cache: string; draws: number; fresh: boolean },
): Promise<UsualTrial[]> {
  const films: MeasuredFilm[] = [];
  for (const day of days) films.push(await measuredFilm(day, cache, fresh));
  const measured = films.map(({ clip, reps }) =>
    reps.map((rep) => measureWithUncertainty(clip, rep, { draws })),
  );
  const usual: UsualReps = {
    todayClip: days[2].name,
    reps: [0, 1].flatMap((d) =>
      measured[d].map((measures, rep) => ({
        clip: days[d].name,
        rep: rep + 1,
        day: `2026-11-0${d + 1}`,
        measures,
      })),
    ),
  };
  const [reference, , today] = films;
  return today.reps.map((rep, i): UsualTrial => {
    const options = { draws, usual, referenceRep: reference.reps[0], todayRep: rep };
    const drawn = drawPair(reference.clip, today.clip, options);
    const truths = [trueMeasures(days[0].spec, 0), trueMeasures(days[2].spec, i)];
    const trial = {
      lift,
      good: days[0].plumbErrorRad !== null,
      sameCamera: false,
      changed: null,
      ...judged(drawn, compareDrawn(drawn, options), truths),
    };
    const inBand: UsualTrial['inBand'] = {};
    for (const name of measureNames) {
      const band = bandOf(name, usual);
      const now = measured[2][i][name];
      if (!band || !now) continue;
      const half = bandHalfWidth(band, now.u95);
      const stated = { value: band.mean, lo95: band.mean - half, hi95: band.mean + half };
      inBand[name] = { truth: now.value, stated };
    }
    return { trial, inBand };
  });
}
