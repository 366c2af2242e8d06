import { useMemo } from 'react';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import { sideNames, type SideName } from '../../shared-lib/contract/review.ts';
import { directionWords } from '../../shared-lib/pair/sentences.ts';
import type { SharedScale } from '../panes/scale.ts';
import { ChartPoints } from './chart-points.tsx';
import { eventPoints, placeWords, type EventPlace } from './event-points.ts';
import { UsualBand, WishedHandles, type ChartPlace } from './path-extras.tsx';
import { roomForLetters } from './room-for-letters.ts';
import { valueAt } from './value-at.ts';
import './charts.css';

/**
 * Both bar paths on the scale of the pictures beside it: a centimetre is the same height in all three. Across, the scale
 * is the same too, so that a path leans in the chart as it does in life.
 */
export function PathChart({
  lineUp,
  shared,
  widthPx,
  heightPx,
  atS,
  onGo,
}: {
  lineUp: LineUp;
  shared: SharedScale;
  widthPx: number;
  heightPx: number;
  atS: Record<SideName, number>;
  /** Takes both pictures to a moment of one rep. */
  onGo: (side: SideName, tS: number) => void;
}) {
  const { sign, ...place } = useMemo(() => placeOf(lineUp, shared, widthPx), [lineUp, shared, widthPx]);
  const { x, y } = place;
  const yCm = scaleLinear(
    [(100 * (shared.zeroPx - heightPx)) / shared.pxPerM, (100 * shared.zeroPx) / shared.pxPerM],
    [heightPx, 0],
  );
  const { letterPx } = roomForLetters();
  const gutterPx = 3.17 * letterPx;
  // Both directions do not fit beside each other.
  const isNarrow = widthPx < 23 * letterPx;
  const { forward, backward } = directionWords(lineUp.pair.lift);
  const [left, right] = sign === 1 ? [backward, forward] : [forward, backward];
  const every = yCm.ticks(Math.max(4, Math.round(heightPx / (5 * letterPx))));
  const points = useMemo(() => {
    const words = (at: EventPlace): string => placeWords(at, lineUp.pair.lift);
    return eventPoints(lineUp, (_, at) => [x(at.xM), y(at.yM)], words, onGo);
  }, [lineUp, x, y, onGo]);
  return (
    <svg
      className="chart path"
      width={widthPx}
      height={heightPx}
      role="group"
      aria-label={`Bar paths of both reps from their own starts, ${describe(lineUp)}`}
    >
      {every.map((cm) => (
        <g key={cm}>
          <line className={cm === 0 ? 'zero' : 'grid'} x1={gutterPx} x2={widthPx} y1={yCm(cm)} y2={yCm(cm)} />
          <text x={gutterPx - 4} y={yCm(cm)} className="end tick">
            {cm}
          </text>
        </g>
      ))}
      <line className="zero" x1={x(0)} x2={x(0)} y1={0} y2={heightPx} />
      <UsualBand {...place} />
      {sideNames.map((name) => {
        const { path, rep, window } = lineUp[name].reps[0];
        const fromS = rep.start_s ?? window.fromS;
        const toS = rep.lockout_s ?? window.toS;
        const draw = line<number>((i) => x(path.xM[i]!), (i) => y(path.yM[i]!)) // prettier-ignore
          .defined((i) => path.xM[i] !== null && path.yM[i] !== null)
          .digits(1);
        const inside = path.tS.flatMap((t, i) => (t >= fromS && t <= toS ? [i] : []));
        return <path key={name} d={draw(inside) ?? ''} className={`line ${name}`} />;
      })}
      {sideNames.map((name) => {
        const { path } = lineUp[name].reps[0];
        const [bx, by] = [valueAt(path.tS, path.xM, atS[name]), valueAt(path.tS, path.yM, atS[name])];
        if (bx === null || by === null) return null;
        return <circle key={name} className={`bar ${name}`} cx={x(bx)} cy={y(by)} r={6} />;
      })}
      <ChartPoints label="Events on the bar paths" points={points} widthPx={widthPx} />
      <WishedHandles {...place} />
      <text x={gutterPx} y={2 + letterPx} className="word">
        cm
      </text>
      <text
        x={isNarrow ? widthPx - 6 : gutterPx + 4}
        y={heightPx - 8 - (isNarrow ? 1.33 * letterPx : 0)}
        className={isNarrow ? 'word end' : 'word'}
      >
        ‹ {left}
      </text>
      <text x={widthPx - 6} y={heightPx - 8} className="word end">
        {right} ›
      </text>
    </svg>
  );
}

/** Where metres lie in the chart; forward is to the right, `sign` 1, where the reference's lifter faces right. */
function placeOf(lineUp: LineUp, shared: SharedScale, widthPx: number): ChartPlace & { sign: 1 | -1 } {
  const sign = lineUp.reference.clip.calibration.facing === 'right' ? 1 : -1;
  const xs = sideNames.flatMap((name) => lineUp[name].reps[0].path.xM.filter((x) => x !== null));
  const middleM = (Math.min(...xs) + Math.max(...xs)) / 2;
  return {
    sign,
    x: (m) => widthPx / 2 + sign * shared.pxPerM * (m - middleM) - shared.movedPx,
    y: (m) => shared.zeroPx - shared.pxPerM * m,
    back: (xPx, yPx) => ({
      xM: middleM + (sign * (xPx - widthPx / 2)) / shared.pxPerM,
      yM: (shared.zeroPx - yPx) / shared.pxPerM,
    }),
  };
}

function describe(lineUp: LineUp): string {
  return sideNames
    .map((name) => {
      const { measures } = lineUp[name].reps[0].rep;
      const rom = measures.rom_m?.value;
      const drift = measures.drift_bottom_m?.value ?? measures.drift_max_m?.value;
      const cm = (m: number | undefined): string =>
        m === undefined ? 'unknown' : `${(100 * m).toFixed(1)} cm`;
      return `${name}: range ${cm(rom)}, drift ${cm(drift)}`;
    })
    .join('; ');
}
