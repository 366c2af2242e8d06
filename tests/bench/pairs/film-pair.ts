import { compareDrawn, drawPair } from '../../../shared-lib/pair/changes.ts';
import { judged, type Trial } from '../../unit/pair/trials.ts';
import type { PairDraw } from './draw-pair.ts';
import { measuredFilm } from './measured-film.ts';
import { trueMeasures } from './plant.ts';
import { sizeApart, type SizeApart } from './size-apart.ts';

/** Films both clips of a pair, follows and compares them as the program does, and sets what it says beside the truth. */
export async function filmAndCompare(
  pair: PairDraw,
  { cache, draws, fresh }: { cache: string; draws: number; fresh: boolean },
): Promise<{ trial: Trial; apart: SizeApart[] }> {
  const sides = [];
  for (const film of pair.films) sides.push(await measuredFilm(film, cache, fresh));
  const [reference, today] = sides;
  const sameCamera = pair.filming === 'unmoved camera';
  const options = { draws, sameCamera, referenceRep: reference.reps[0], todayRep: today.reps[0] };
  const drawn = drawPair(reference.clip, today.clip, options);
  const result = compareDrawn(drawn, options);
  const truths = pair.films.map(({ spec }) => trueMeasures(spec));
  const trial = {
    lift: reference.clip.lift,
    good: sameCamera || pair.films[0].plumbErrorRad !== null,
    sameCamera,
    changed: pair.changed,
    ...judged(drawn, result, truths),
  };
  const apart = sides.flatMap(({ followed, truth }, i) => sizeApart(followed, truth, truths[i], draws) ?? []);
  return { trial, apart };
}
