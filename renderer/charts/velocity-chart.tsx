import { useMemo } from 'react';
import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import { sideNames, type SideName } from '../../shared-lib/contract/review.ts';
import type { RunBy, Timeline } from '../steps/line-up/timeline.ts';
import { ChartPoints } from './chart-points.tsx';
import { eventPoints } from './event-points.ts';
import { roomForLetters, type RoomForLetters } from './room-for-letters.ts';
import { valueAt } from './value-at.ts';

const top = 8;

/** Vertical velocity of both reps on the clock that runs them, or against bar height. */
export function VelocityChart({
  lineUp,
  timeline,
  runBy,
  atS,
  widthPx,
  heightPx,
  onPick,
  onGo,
}: {
  lineUp: LineUp;
  timeline: Timeline;
  runBy: RunBy;
  atS: number;
  widthPx: number;
  heightPx: number;
  onPick: (atS: number) => void;
  /** Takes both pictures to a moment of one rep. */
  onGo: (side: SideName, tS: number) => void;
}) {
  const byHeight = runBy === 'height';
  const { letterPx, leftPx: left, bottomPx: bottom } = roomForLetters();
  const { curves, lo, hi, x, y } = useMemo(
    () => curvesOf(lineUp, timeline, byHeight, widthPx, heightPx, { leftPx: left, bottomPx: bottom }),
    [lineUp, timeline, byHeight, widthPx, heightPx, left, bottom],
  );
  const draw = line<{ x: number; v: number }>((p) => x(p.x), (p) => y(p.v)) // prettier-ignore
    .defined(({ v }) => Number.isFinite(v))
    .digits(1);
  const now = {
    reference: timeline.referenceS(atS),
    today: timeline.todayS(atS),
  };
  const points = useMemo(
    () =>
      eventPoints(
        lineUp,
        (side, { tS, yM, vyMps }) => {
          const clockS = side === 'reference' ? timeline.ofReference(tS) : timeline.ofToday(tS);
          const [px, py] = [x(byHeight ? 100 * yM : clockS), y(vyMps)];
          return px >= left && px <= widthPx - 8 && py >= top && py <= heightPx - bottom ? [px, py] : null;
        },
        ({ tS, vyMps }) => `${vyMps.toFixed(2)} m/s at ${tS.toFixed(2)} s`,
        onGo,
      ),
    [lineUp, timeline, byHeight, x, y, widthPx, heightPx, onGo, left, bottom],
  );
  return (
    <svg
      className="chart velocity"
      width={widthPx}
      height={heightPx}
      role="group"
      aria-label={`Vertical bar velocity of both reps against ${byHeight ? 'bar height, drive only' : 'time'}, between ${lo.toFixed(2)} and ${hi.toFixed(2)} metres per second`}
      onPointerDown={(event) => {
        if (byHeight) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        pick(event);
      }}
      onPointerMove={(event) => event.buttons === 1 && !byHeight && pick(event)}
    >
      {y.ticks(4).map((v) => (
        <g key={v}>
          <line className={v === 0 ? 'zero' : 'grid'} x1={left} x2={widthPx - 8} y1={y(v)} y2={y(v)} />
          <text className="tick end" x={left - 6} y={y(v)}>
            {v.toFixed(1)}
          </text>
        </g>
      ))}
      {x.ticks(Math.max(3, Math.round(widthPx / (7.5 * letterPx)))).map((v) => (
        <text key={v} className="tick middle" x={x(v)} y={heightPx - 8}>
          {byHeight ? `${v} cm` : `${v} s`}
        </text>
      ))}
      <text className="word" x={left + 4} y={top + 0.7 * letterPx}>
        m/s, up
      </text>
      {curves.map(({ name, points }) => (
        <path key={name} className={`line ${name}`} d={draw(points) ?? ''} />
      ))}
      {!byHeight && <line className="playhead" x1={x(atS)} x2={x(atS)} y1={top} y2={heightPx - bottom} />}
      {sideNames.map((name) => {
        const { path } = lineUp[name].reps[0];
        const v = valueAt(path.tS, path.vyMps, now[name]);
        const h = valueAt(path.tS, path.yM, now[name]);
        if (v === null || h === null) return null;
        const px = byHeight ? x(100 * h) : x(atS);
        return px < left || px > widthPx ? null : (
          <circle key={name} className={`bar ${name}`} cx={px} cy={y(v)} r={5} />
        );
      })}
      <ChartPoints label="Events on the velocity curves" points={points} widthPx={widthPx} />
    </svg>
  );

  function pick(event: React.PointerEvent<SVGSVGElement>): void {
    const box = event.currentTarget.getBoundingClientRect();
    onPick(Math.min(Math.max(x.invert(event.clientX - box.left), 0), timeline.durationS));
  }
}

/** Both curves in the chart's own units, seconds of the clock or centimetres of height, with their scales. */
function curvesOf(
  lineUp: LineUp,
  timeline: Timeline,
  byHeight: boolean,
  widthPx: number,
  heightPx: number,
  { leftPx, bottomPx }: Pick<RoomForLetters, 'leftPx' | 'bottomPx'>,
) {
  const curves = sideNames.map((name) => {
    const { path, rep, window } = lineUp[name].reps[0];
    const [fromS, toS] = byHeight
      ? [rep.drive_start_s ?? window.fromS, rep.lockout_s ?? window.toS]
      : [window.fromS, window.toS];
    const place = name === 'reference' ? timeline.ofReference : timeline.ofToday;
    const points = path.tS.flatMap((t, i) => {
      const [v, y] = [path.vyMps[i], path.yM[i]];
      if (y === null || t < fromS || t > toS) return [];
      const x = byHeight ? 100 * y : place(t);
      return byHeight || (x >= 0 && x <= timeline.durationS) ? [{ x, v: v ?? NaN }] : [];
    });
    return { name, points };
  });
  const all = curves.flatMap(({ points }) => points.filter(({ v }) => Number.isFinite(v)));
  const [lo = -0.5, hi = 0.5] = extent(all, ({ v }) => v);
  const domain = byHeight ? (extent(all, ({ x }) => x) as [number, number]) : [0, timeline.durationS];
  const x = scaleLinear(domain, [leftPx, widthPx - 8]);
  const y = scaleLinear([lo, hi], [heightPx - bottomPx, top]).nice(4);
  return { curves, lo, hi, x, y };
}
