import { useRef } from 'react';
import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import { arrows } from './arrows.ts';
import { pointIn, type PointPx } from './clip-figure.tsx';

/** What an arrow key moves a handle by, pixels of the clip, alone and with Shift. */
const stepPx = 0.5;
const longStepPx = 5;

/** A point of a picture that can be dragged, or moved by the arrow keys. */
export function Handle({
  label,
  at,
  unit,
  media,
  onMove,
  onDone,
  onLook,
  onRemove,
}: {
  label: string;
  at: PointPx;
  /** One screen pixel in pixels of the clip. */
  unit: number;
  media: MediaInfo;
  onMove: (to: PointPx) => void;
  /** The move is over: what it came to may be kept. */
  onDone: () => void;
  /** Whether the point is being set, and should be seen magnified. */
  onLook: (on: boolean) => void;
  /** What Delete does, where there is something to take away. */
  onRemove?: (() => void) | undefined;
}) {
  const grab = useRef<PointPx | null>(null);
  const inside = ({ xPx, yPx }: PointPx): PointPx => ({
    xPx: Math.min(Math.max(xPx, 0), media.widthPx - 1),
    yPx: Math.min(Math.max(yPx, 0), media.heightPx - 1),
  });
  const place = (event: React.PointerEvent<SVGGElement>): PointPx =>
    pointIn(event.currentTarget.ownerSVGElement!, event, media);
  return (
    <g
      className="handle"
      role="slider"
      tabIndex={0}
      aria-label={label}
      aria-valuenow={Math.round(at.xPx)}
      aria-valuemin={0}
      aria-valuemax={media.widthPx - 1}
      aria-valuetext={`${at.xPx.toFixed(1)} across, ${at.yPx.toFixed(1)} down`}
      onClick={(event) => event.stopPropagation()}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        event.currentTarget.focus({ preventScroll: true });
        const { xPx, yPx } = place(event);
        grab.current = { xPx: at.xPx - xPx, yPx: at.yPx - yPx };
        onLook(true);
      }}
      onPointerMove={(event) => {
        if (!grab.current) return;
        const { xPx, yPx } = place(event);
        onMove(inside({ xPx: xPx + grab.current.xPx, yPx: yPx + grab.current.yPx }));
      }}
      onPointerUp={() => {
        grab.current = null;
        onDone();
      }}
      onPointerCancel={() => (grab.current = null)}
      onKeyDown={(event) => {
        const way = arrows[event.key];
        if (event.key === 'Delete' && onRemove) {
          event.stopPropagation();
          onRemove();
        }
        if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
        event.preventDefault();
        event.stopPropagation();
        const by = event.shiftKey ? longStepPx : stepPx;
        onLook(true);
        onMove(inside({ xPx: at.xPx + by * way[0], yPx: at.yPx + by * way[1] }));
      }}
      onKeyUp={(event) => event.key in arrows && onDone()}
      onFocus={() => onLook(true)}
      onBlur={() => onLook(false)}
    >
      <circle className="grip" cx={at.xPx} cy={at.yPx} r={13 * unit} />
      <circle className="knob" cx={at.xPx} cy={at.yPx} r={5.5 * unit} />
    </g>
  );
}
