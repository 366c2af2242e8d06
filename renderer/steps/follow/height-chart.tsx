import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { useRef } from 'react';
import type { MeasuredSide } from '../../../shared-lib/contract/line-up.ts';
import type { MovableEvent, SetEvent, SideName } from '../../../shared-lib/contract/review.ts';
import { SaveChart } from '../../charts/save-chart.tsx';
import { valueAt } from '../../charts/value-at.ts';
import { useDraft } from '../../parts/use-draft.ts';
import { useSize } from '../../parts/use-size.ts';
import { change, useDesk } from '../../state/store.ts';

type RepShown = MeasuredSide['reps'][number];

const none: readonly SetEvent[] = [];
const heightPx = 230;
const left = 58;
const top = 26;
const bottom = 24;
/** What an arrow key moves an event by, seconds, alone and with Shift. */
const stepS = 0.01;
const longStepS = 0.1;

export function setEvent(name: SideName, rep: number, event: MovableEvent, fileS: number | null): void {
  change(fileS === null ? `Put the ${event} back` : `Move the ${event}`, (review) => {
    const side = review[name]!;
    const others = side.events.filter((each) => each.rep !== rep || each.event !== event);
    side.events = fileS === null ? others : [...others, { rep, event, fileS }];
  });
}

/** Bar height against time through one rep, its events to be dragged. */
export function HeightChart({
  rep,
  number,
  name,
  slowMotion,
  atS,
  onPick,
}: {
  rep: RepShown;
  /** From 1. */
  number: number;
  name: SideName;
  slowMotion: number;
  atS: number;
  onPick: (tS: number) => void;
}) {
  const [box, { widthPx }] = useSize<HTMLDivElement>();
  const byHand = useDesk((desk) => desk.review!.now[name]?.events ?? none);
  const { path, window } = rep;
  // What was just set counts at once; measures follow.
  const events = rep.events.map((mark) => {
    const set = byHand.find((each) => each.rep === number && each.event === mark.event);
    return set
      ? { ...mark, tS: set.fileS / slowMotion, byHand: true }
      : { ...mark, tS: mark.byHand ? mark.foundS : mark.tS, byHand: false };
  });
  const heights = path.yM.filter((y) => y !== null);
  const [low = 0, high = 1] = extent(heights);
  const x = scaleLinear([window.fromS, window.toS], [left, Math.max(left + 1, widthPx - 10)]).clamp(true);
  const y = scaleLinear([100 * low, 100 * high], [heightPx - bottom, top]).nice(4);
  const points = path.tS.map((t, i) => ({ t, h: path.yM[i] }));
  const draw = line<{ t: number; h: number | null }>((p) => x(p.t), (p) => y(100 * (p.h ?? 0))).defined((p) => p.h !== null).digits(1); // prettier-ignore
  const svg = useRef<SVGSVGElement>(null);
  const timeAt = (clientX: number): number => x.invert(clientX - svg.current!.getBoundingClientRect().left);
  return (
    <div ref={box} className="height-chart charted">
      <svg
        ref={svg}
        className="chart"
        width={widthPx}
        height={heightPx}
        role="group"
        aria-label={`Bar height against time in rep ${number}, between ${(100 * low).toFixed(0)} and ${(100 * high).toFixed(0)} centimetres, with its events`}
        onPointerDown={(event) => onPick(timeAt(event.clientX))}
        onPointerMove={(event) =>
          event.buttons === 1 && event.target === svg.current && onPick(timeAt(event.clientX))
        }
      >
        {y.ticks(4).map((cm) => (
          <g key={cm}>
            <line className={cm === 0 ? 'zero' : 'grid'} x1={left} x2={widthPx - 10} y1={y(cm)} y2={y(cm)} />
            <text className="tick end" x={left - 6} y={y(cm)}>
              {cm} cm
            </text>
          </g>
        ))}
        {x.ticks(Math.max(3, Math.round(widthPx / 110))).map((s) => (
          <text key={s} className="tick middle" x={x(s)} y={heightPx - 8}>
            {s} s
          </text>
        ))}
        <path className={`line ${name}`} d={draw(points) ?? ''} />
        <line className="playhead" x1={x(atS)} x2={x(atS)} y1={top} y2={heightPx - bottom} />
        {events.map((each, i) => (
          <EventHandle
            key={each.event}
            mark={each}
            row={i % 2}
            between={[events[i - 1]?.tS ?? window.fromS, events[i + 1]?.tS ?? window.toS]}
            place={(tS) => [x(tS), y(100 * (valueAt(path.tS, path.yM, tS) ?? 0))]}
            timeAt={timeAt}
            onLook={onPick}
            onKeep={(tS) => setEvent(name, number, each.event, tS === null ? null : tS * slowMotion)}
          />
        ))}
      </svg>
      <SaveChart title={`Bar height in rep ${number}`} />
    </div>
  );
}

function EventHandle({
  mark,
  row,
  between,
  place,
  timeAt,
  onLook,
  onKeep,
}: {
  mark: RepShown['events'][number];
  row: number;
  between: readonly [number, number];
  place: (tS: number) => [number, number];
  timeAt: (clientX: number) => number;
  onLook: (tS: number) => void;
  onKeep: (tS: number | null) => void;
}) {
  const { shown, move, done } = useDraft(mark.tS, onKeep);
  const isHeld = useRef(false);
  const to = (tS: number): void => {
    const inside = Math.min(Math.max(tS, between[0]), between[1]);
    move(inside);
    onLook(inside);
  };
  const [px, py] = place(shown);
  return (
    <g
      className={`event-handle ${mark.byHand ? 'by-hand' : ''}`}
      role="slider"
      tabIndex={0}
      aria-label={`${mark.event}${mark.byHand ? ', set by hand' : ''}`}
      aria-valuemin={Number(between[0].toFixed(3))}
      aria-valuemax={Number(between[1].toFixed(3))}
      aria-valuenow={Number(shown.toFixed(3))}
      aria-valuetext={`${shown.toFixed(2)} seconds`}
      onPointerDown={(event) => {
        event.stopPropagation();
        event.currentTarget.setPointerCapture(event.pointerId);
        isHeld.current = true;
      }}
      onPointerMove={(event) => isHeld.current && to(timeAt(event.clientX))}
      onPointerUp={() => {
        isHeld.current = false;
        done();
      }}
      onFocus={() => onLook(shown)}
      onKeyDown={(event) => {
        if (event.key === 'Backspace' || event.key === 'Delete') {
          if (mark.byHand) onKeep(null);
          return;
        }
        const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
        if (step === 0) return;
        event.preventDefault();
        event.stopPropagation();
        to(shown + step * (event.shiftKey ? longStepS : stepS));
      }}
      onKeyUp={(event) => event.key.startsWith('Arrow') && done()}
    >
      <line className="event-line" x1={px} x2={px} y1={top + 12 * row - 8} y2={heightPx - bottom} />
      <rect className="grip" x={px - 12} y={top - 16} width={24} height={heightPx - bottom - top + 16} />
      <circle className="knob" cx={px} cy={py} r={6} />
      <text className="event-word middle" x={px} y={top + 12 * row - 12}>
        {mark.event}
        {mark.byHand ? ' ✎' : ''}
      </text>
    </g>
  );
}
