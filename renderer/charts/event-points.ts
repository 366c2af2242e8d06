import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import { sideNames } from '../../shared-lib/contract/review.ts';
import { directionWords } from '../../shared-lib/pair/sentences.ts';
import type { ChartPoint } from './chart-points.tsx';
import { valueAt } from './value-at.ts';

const sideWords = { reference: 'Reference', today: 'Today' } as const;

/** Where the bar is at one event of one rep. */
export interface EventPlace {
  tS: number;
  xM: number;
  yM: number;
  vyMps: number;
}

/** The events of both reps as points of a chart: event by event, the reference's before today's. */
export function eventPoints(
  lineUp: LineUp,
  placeOf: (side: ChartPoint['side'], at: EventPlace) => [xPx: number, yPx: number] | null,
  figuresOf: (at: EventPlace) => string,
  onGo: (side: ChartPoint['side'], tS: number) => void,
): ChartPoint[] {
  const names = [
    ...new Set(sideNames.flatMap((side) => lineUp[side].reps[0].events.map(({ name }) => name))),
  ];
  return names.flatMap((name) =>
    sideNames.flatMap((side) => {
      const { path, events } = lineUp[side].reps[0];
      const event = events.find((each) => each.name === name);
      if (!event) return [];
      const [xM, yM, vyMps] = [path.xM, path.yM, path.vyMps].map((of) => valueAt(path.tS, of, event.tS));
      if (xM === null || yM === null || vyMps === null) return [];
      const at = { tS: event.tS, xM, yM, vyMps };
      const place = placeOf(side, at);
      if (!place) return [];
      const figures = figuresOf(at);
      return [
        {
          key: `${side} ${name}`,
          side,
          xPx: place[0],
          yPx: place[1],
          says: `${sideWords[side]}, ${name}: ${figures}`,
          figures: `${name}: ${figures}`,
          onGo: () => onGo(side, event.tS),
        },
      ];
    }),
  );
}

/** Where the bar is against the rep's start, in words. */
export function placeWords({ xM, yM }: EventPlace, lift: LineUp['pair']['lift']): string {
  const { forward, backward } = directionWords(lift);
  const [up, across] = [Math.abs(100 * yM).toFixed(1), Math.abs(100 * xM).toFixed(1)];
  const height = up === '0.0' ? 'at the start’s height' : `${up} cm ${yM > 0 ? 'above' : 'below'} the start`;
  const drift = across === '0.0' ? 'no drift' : `${across} cm ${xM > 0 ? forward : backward}`;
  return `${height}, ${drift}`;
}
