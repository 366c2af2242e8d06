import { useRef, useState } from 'react';
import type { SideName } from '../../shared-lib/contract/review.ts';

/** A place in a chart that can be gone to: what it says to those who hear it and to those who look. */
export interface ChartPoint {
  key: string;
  side: SideName;
  xPx: number;
  yPx: number;
  /** The whole of it, spoken. */
  says: string;
  /** The figures alone, beside the point while it has the focus. */
  figures: string;
  onGo: () => void;
}

/** Points of a chart, one stop of Tab for all: arrows go from one to the next, each says its values and shows its moment. */
export function ChartPoints({
  label,
  points,
  widthPx,
}: {
  label: string;
  points: readonly ChartPoint[];
  widthPx: number;
}) {
  const [at, setAt] = useState(0);
  const [focused, setFocused] = useState<number | null>(null);
  const group = useRef<SVGGElement>(null);
  const active = Math.min(at, points.length - 1);
  const goTo = (i: number): void => {
    const next = (i + points.length) % points.length;
    setAt(next);
    group.current?.querySelectorAll<SVGGElement>('.chart-point')[next]?.focus();
  };
  const keys: Record<string, () => void> = {
    ArrowRight: () => goTo(active + 1),
    ArrowDown: () => goTo(active + 1),
    ArrowLeft: () => goTo(active - 1),
    ArrowUp: () => goTo(active - 1),
    Home: () => goTo(0),
    End: () => goTo(points.length - 1),
  };
  const told = focused === null ? null : (points[focused] ?? null);
  return (
    <g ref={group} role="group" aria-label={label}>
      {points.map((point, i) => (
        <g
          key={point.key}
          className={`chart-point ${point.side}`}
          role="button"
          tabIndex={i === active ? 0 : -1}
          aria-label={point.says}
          onFocus={() => {
            setAt(i);
            setFocused(i);
          }}
          onBlur={() => setFocused(null)}
          onClick={point.onGo}
          onPointerDown={(event) => event.stopPropagation()}
          onKeyDown={(event) => {
            if (event.ctrlKey || event.altKey || event.metaKey) return;
            const perform = event.key === 'Enter' || event.key === ' ' ? point.onGo : keys[event.key];
            if (!perform) return;
            event.preventDefault();
            event.stopPropagation();
            perform();
          }}
        >
          <circle className="reach" cx={point.xPx} cy={point.yPx} r={12} />
          <circle className="dot" cx={point.xPx} cy={point.yPx} r={3.5} />
        </g>
      ))}
      {told && (
        <text
          className={`point-figures ${told.xPx > widthPx / 2 ? 'end' : ''}`}
          x={told.xPx + (told.xPx > widthPx / 2 ? -12 : 12)}
          y={Math.max(14, told.yPx - 10)}
          aria-hidden
        >
          {told.figures}
        </text>
      )}
    </g>
  );
}
