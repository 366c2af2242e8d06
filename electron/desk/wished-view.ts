import type { Handle, WishedPath } from '../../shared-lib/contract/coaching.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import type { WishedView } from '../../shared-lib/contract/wished.ts';
import { deviationOf } from '../../shared-lib/wished-path/deviation.ts';
import { deviationSentence } from '../../shared-lib/wished-path/sentences.ts';
import { smoothWay } from '../../shared-lib/wished-path/smooth-way.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { originOf } from '../media/film-origin.ts';
import { inPicture } from '../media/film-paths.ts';
import { filmSide } from './film-of-pair.ts';
import type { RepsOfClip } from './clip-reps.ts';

/** Points of a wished way as it is laid into pictures. */
const drawnPoints = 60;

/** One rep of a followed clip. */
export interface OneRep {
  clip: RepsOfClip;
  /** From 0. */
  index: number;
}

export const nothingWished: WishedView = {
  down: null,
  up: null,
  sentences: [],
  pathPx: { reference: [], today: [] },
  curves: [],
};

/**
 * Today's rep against the wished path, and that path laid into both pictures.
 *
 * @param ways of today's rep
 */
export function wishedView(
  wished: WishedPath,
  lift: Lift,
  reps: Record<SideName, OneRep | null>,
  ways: DrawnWays,
): WishedView {
  const down = ways.down && deviationOf(ways.down, wished.down);
  const up = ways.up && deviationOf(ways.up, wished.up);
  const curves = [wished.down, wished.up].map(pointsOf).filter((points) => points.length > 0);
  const laid = (name: SideName): [number, number][][] => {
    const rep = reps[name];
    if (!rep) return [];
    const side = filmSide({ ...rep, loadKg: null }, '', false);
    const place = inPicture(side, originOf(side, rep.clip.reps[rep.index].events.startS));
    return curves.map((points) =>
      points.map(({ xM, yM }) => {
        const { xPx, yPx } = place(xM, yM);
        return [xPx, yPx];
      }),
    );
  };
  const said = (way: 'down' | 'up', found: typeof down): string[] =>
    found ? [deviationSentence(way, found, lift)] : [];
  return {
    down,
    up,
    sentences: [...said('down', down), ...said('up', up)],
    pathPx: { reference: laid('reference'), today: laid('today') },
    curves,
  };
}

function pointsOf(handles: readonly Handle[]): Handle[] {
  const way = smoothWay(handles);
  if (!way) return [];
  const heights = handles.map(({ yM }) => yM);
  const [lo, hi] = [Math.min(...heights), Math.max(...heights)];
  return Array.from({ length: drawnPoints }, (_, i) => {
    const yM = Math.min(hi, lo + ((hi - lo) * i) / (drawnPoints - 1));
    return { xM: way(yM) ?? NaN, yM };
  }).filter(({ xM }) => Number.isFinite(xM));
}
