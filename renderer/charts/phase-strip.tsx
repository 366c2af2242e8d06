import { scaleLinear } from 'd3-scale';
import type { LineUp } from '../../shared-lib/contract/line-up.ts';
import { sideNames } from '../../shared-lib/contract/review.ts';
import type { Timeline } from '../steps/line-up/timeline.ts';
import { roomForLetters, stripHeightPx } from './room-for-letters.ts';

/** Both reps' phases as two rows of blocks on one clock, with one playhead through both. */
export function PhaseStrip({
  lineUp,
  timeline,
  atS,
  widthPx,
  onPick,
}: {
  lineUp: LineUp;
  timeline: Timeline;
  atS: number;
  widthPx: number;
  onPick: (atS: number) => void;
}) {
  const room = roomForLetters();
  const { letterPx, leftPx, rowPx } = room;
  const x = scaleLinear([0, timeline.durationS], [leftPx, widthPx - 8]).clamp(true);
  const pick = (event: React.PointerEvent<SVGSVGElement>): void => {
    const box = event.currentTarget.getBoundingClientRect();
    onPick(x.invert(event.clientX - box.left));
  };
  return (
    <svg
      className="chart strip"
      width={widthPx}
      height={stripHeightPx(room)}
      role="slider"
      tabIndex={0}
      aria-label="Moment shown"
      aria-valuemin={0}
      aria-valuemax={Number(timeline.durationS.toFixed(2))}
      aria-valuenow={Number(atS.toFixed(2))}
      aria-valuetext={momentWords(lineUp, timeline, atS)}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        pick(event);
      }}
      onPointerMove={(event) => event.buttons === 1 && pick(event)}
    >
      {sideNames.map((name, row) => {
        const place = name === 'reference' ? timeline.ofReference : timeline.ofToday;
        return lineUp[name].reps[0].phases.map((phase) => {
          const [from, to] = [x(place(phase.fromS)), x(place(phase.toS))];
          if (to - from < 1) return null;
          return (
            <g key={`${name}-${phase.name}`}>
              <rect
                className={`block ${phase.name === 'drive' ? name : ''} ${phase.name}`}
                x={from}
                y={3 + row * rowPx}
                width={to - from - 1}
                height={rowPx - 4}
                rx={3}
              />
              {to - from > 0.75 * letterPx * phase.name.length && (
                <text
                  className={`block-word ${phase.name} ${name}`}
                  x={(from + to) / 2}
                  y={3 + row * rowPx + rowPx / 2 - 2}
                >
                  {phase.name}
                </text>
              )}
            </g>
          );
        });
      })}
      <line className="playhead" x1={x(atS)} x2={x(atS)} y1={0} y2={stripHeightPx(room)} />
    </svg>
  );
}

function momentWords(lineUp: LineUp, timeline: Timeline, atS: number): string {
  const t = timeline.referenceS(atS);
  const phase = lineUp.reference.reps[0].phases.find(({ fromS, toS }) => t >= fromS && t < toS);
  return `${atS.toFixed(2)} seconds, ${phase?.name ?? 'outside the rep'}`;
}
