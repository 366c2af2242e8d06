import { median } from '../../shared-lib/motion/statistics.ts';
import { applySimilarity, invertSimilarity } from '../../shared-lib/picture/similarity.ts';
import { frameAt } from '../../shared-lib/motion/frame-times.ts';
import { realTimes, type FilmSide, type FilmSpec, type SideName } from './film-spec.ts';

/** The bar at a rep's start: displayed pixels of the clip's first frame, and metres of its plane trace. */
export interface Origin {
  xPx: number;
  yPx: number;
  xM: number;
  yM: number;
}

/** Where both reps start: the median over the stillness before the first event, as the bar plane's own origin is. */
export function originsOf(spec: FilmSpec): Record<SideName, Origin> {
  const [start] = spec.knots;
  return {
    reference: originOf(spec.reference, start.referenceS),
    today: originOf(spec.today, start.todayS),
  };
}

/** Where a rep that starts at `startS` begins. */
export function originOf(side: FilmSide, startS: number): Origin {
  const tS = realTimes(side);
  const usable = (i: number): boolean => side.samples[i].state !== 'lost';
  let chosen = tS.map((_, i) => i).filter((i) => usable(i) && tS[i] >= side.standingFromS && tS[i] <= startS);
  if (chosen.length === 0) {
    // No stillness was seen: the sample that is nearest in time.
    const all = tS.map((_, i) => i).filter(usable);
    chosen = [
      all[
        frameAt(
          all.map((i) => tS[i]),
          startS,
        )
      ] ?? 0,
    ];
  }
  const first = chosen.map((i) => inFirstFrame(side, i));
  return {
    xPx: median(first.map(({ xPx }) => xPx)),
    yPx: median(first.map(({ yPx }) => yPx)),
    xM: median(chosen.map((i) => side.plane.xM[i])),
    yM: median(chosen.map((i) => side.plane.yM[i])),
  };
}

/** The bar of a frame in the first frame's pixels: the camera's own motion taken out. */
export function inFirstFrame(side: FilmSide, i: number): { xPx: number; yPx: number } {
  const { xPx, yPx, camera } = side.samples[i];
  const [x, y] = applySimilarity(camera, xPx, yPx);
  return { xPx: x, yPx: y };
}

/** A point of the first frame in another frame's pixels: the camera's own motion put back. */
export function inFrame(
  side: FilmSide,
  i: number,
  point: { xPx: number; yPx: number },
): { xPx: number; yPx: number } {
  const [x, y] = applySimilarity(invertSimilarity(side.samples[i].camera), point.xPx, point.yPx);
  return { xPx: x, yPx: y };
}
