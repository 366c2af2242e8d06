import { area, line } from 'd3-shape';
import { useState, type PointerEvent } from 'react';
import type { Handle } from '../../shared-lib/contract/coaching.ts';
import type { WayBand } from '../../shared-lib/contract/usual.ts';
import { wishedCurve } from '../../shared-lib/wished-path/smooth-way.ts';
import { moveHandle, useCoaching, usualKey } from '../state/coaching.ts';
import { useDesk } from '../state/store.ts';

/** Metres of the bar plane to pixels of the chart, and back. */
export interface ChartPlace {
  x: (m: number) => number;
  y: (m: number) => number;
  back: (xPx: number, yPx: number) => Handle;
}

/** Where the lifter's next ordinary rep is expected to pass, behind the paths. */
export function UsualBand({ x, y }: ChartPlace) {
  const key = useDesk((desk) => (desk.review ? usualKey(desk.review.now) : ''));
  const path = useCoaching(({ usual }) => (usual?.key === key ? usual.value.path : null));
  if (!path) return null;
  const shape = area<number>();
  const draw = ({ heightM, loXM, hiXM }: WayBand): string =>
    shape
      .y((i) => y(heightM[i]))
      .x0((i) => x(loXM[i]))
      .x1((i) => x(hiXM[i]))
      .digits(1)(heightM.map((_, i) => i)) ?? '';
  return (
    <g aria-label="Where this lifter’s next ordinary rep is expected">
      {path.down && <path className="usual-band down" d={draw(path.down)} />}
      {path.up && <path className="usual-band" d={draw(path.up)} />}
    </g>
  );
}

const ways = [
  { way: 'down', words: 'way down' },
  { way: 'up', words: 'way up' },
] as const;

/** The wished path with its handles, to be dragged or moved by keys. */
export function WishedHandles({ x, y, back }: ChartPlace) {
  const kept = useDesk((desk) => desk.review?.now.coaching.wishedPath ?? null);
  // While the hand is on a handle nothing is kept: one drag is one step to take back.
  const [held, setHeld] = useState<{ way: 'down' | 'up'; i: number; at: Handle } | null>(null);
  if (!kept) return null;
  const path = held
    ? { ...kept, [held.way]: kept[held.way].map((handle, i) => (i === held.i ? held.at : handle)) }
    : kept;
  const draw = line<Handle>((h) => x(h.xM), (h) => y(h.yM)).curve(wishedCurve).digits(1); // prettier-ignore
  return (
    <g>
      {ways.map(({ way }) => (
        <path
          key={way}
          className="wished"
          d={draw([...path[way]].sort((a, b) => a.yM - b.yM)) ?? ''}
          aria-hidden
        />
      ))}
      {ways.flatMap(({ way, words }) =>
        path[way].map((handle, i) => (
          <rect
            key={`${way} ${i}`}
            className="wished-handle"
            x={x(handle.xM) - 6}
            y={y(handle.yM) - 6}
            width={12}
            height={12}
            transform={`rotate(45 ${x(handle.xM)} ${y(handle.yM)})`}
            tabIndex={0}
            role="slider"
            aria-label={`Wished ${words}, handle ${i + 1}, ${(100 * handle.yM).toFixed(0)} cm from the start’s height`}
            aria-valuenow={Math.round(1000 * handle.xM)}
            aria-valuetext={`${(100 * handle.xM).toFixed(1)} cm forward of the start`}
            onKeyDown={(event) => {
              const steps: Record<string, [number, number]> = {
                ArrowLeft: [-1, 0],
                ArrowRight: [1, 0],
                ArrowUp: [0, -1],
                ArrowDown: [0, 1],
              };
              const step = steps[event.key];
              if (!step) return;
              event.preventDefault();
              event.stopPropagation();
              const from = back(0, 0);
              const to = back(step[0], step[1]);
              const sizeM = event.shiftKey ? 0.01 : 0.001;
              moveHandle(way, i, {
                xM: handle.xM + sizeM * Math.sign(to.xM - from.xM),
                yM: handle.yM + sizeM * Math.sign(to.yM - from.yM),
              });
            }}
            onPointerDown={(event: PointerEvent<SVGRectElement>) =>
              event.currentTarget.setPointerCapture(event.pointerId)
            }
            onPointerMove={(event: PointerEvent<SVGRectElement>) => {
              if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
              const box = event.currentTarget.ownerSVGElement!.getBoundingClientRect();
              setHeld({ way, i, at: back(event.clientX - box.left, event.clientY - box.top) });
            }}
            onPointerUp={() => {
              if (held) moveHandle(held.way, held.i, held.at);
              setHeld(null);
            }}
          />
        )),
      )}
    </g>
  );
}
