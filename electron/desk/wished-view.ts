import type { Handle, WishedPath } from '../../shared-lib/contract/coaching.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import type { WishedView } from '../../shared-lib/contract/wished.ts';
import { deviationOf } from '../../shared-lib/wished-path/deviation.ts';
import { drawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { deviationSentence } from '../../shared-lib/wished-path/sentences.ts';
import { smoothWay } from '../../shared-lib/wished-path/smooth-way.ts';
import { originsOf } from '../media/film-origin.ts';
import { inPicture } from '../media/film-paths.ts';
import { filmSpec } from './film-of-pair.ts';
import type { ComparedPair } from './pair.ts';

/** Points of a wished way as it is laid into pictures. */
const drawnPoints = 60;

/** Today's rep against the wished path, and that path laid into both pictures. */
export function wishedView(wished: WishedPath | null, compared: ComparedPair): WishedView {
  if (!wished)
    return { down: null, up: null, sentences: [], pathPx: { reference: [], today: [] }, curves: [] };
  const { chosen, pairFile } = compared;
  const { today } = chosen;
  const ways = drawnWays(today.clip.measured, today.index);
  const down = ways.down && deviationOf(ways.down, wished.down);
  const up = ways.up && deviationOf(ways.up, wished.up);
  const spec = filmSpec(pairFile, chosen);
  const origins = originsOf(spec);
  const curves = [wished.down, wished.up].map(pointsOf).filter((points) => points.length > 0);
  const laid = (name: SideName): [number, number][][] => {
    const place = inPicture(spec[name], origins[name]);
    return curves.map((points) =>
      points.map(({ xM, yM }) => {
        const { xPx, yPx } = place(xM, yM);
        return [xPx, yPx];
      }),
    );
  };
  const said = (way: 'down' | 'up', found: typeof down): string[] =>
    found ? [deviationSentence(way, found, pairFile.lift)] : [];
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
