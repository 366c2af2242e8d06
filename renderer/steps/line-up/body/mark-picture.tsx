import { useState, type KeyboardEvent, type MouseEvent, type PointerEvent } from 'react';
import type { BodyMark, Joint } from '../../../../shared-lib/contract/body.ts';
import { arrows } from '../../../parts/arrows.ts';
import { pointIn, type PointPx } from '../../../parts/clip-figure.tsx';
import { bridge } from '../../../state/store.ts';
import { Loupe } from './loupe.tsx';

/** With Shift arrow keys go this far, pixels. */
const longStep = 10;

/** The picture of one event with its marks; a click sets the chosen joint's, arrow keys move it. */
export function MarkPicture({
  sha256,
  frame,
  widthPx,
  heightPx,
  joint,
  marks,
  label,
  onMark,
  onRemove,
}: {
  sha256: string;
  frame: number;
  widthPx: number;
  heightPx: number;
  joint: Joint;
  marks: readonly BodyMark[];
  label: string;
  onMark: (place: PointPx) => void;
  onRemove: () => void;
}) {
  const [pointer, setPointer] = useState<PointPx | null>(null);
  const url = bridge.transport.stillUrl(sha256, frame, null);
  const chosen = marks.find((m) => m.joint === joint);
  const placeOf = (event: MouseEvent | PointerEvent): PointPx =>
    pointIn(event.currentTarget, event, { widthPx, heightPx });
  const onKeyDown = (event: KeyboardEvent): void => {
    const step = arrows[event.key];
    if (!step && event.key !== 'Delete') return;
    event.preventDefault();
    event.stopPropagation();
    if (!step) {
      onRemove();
      return;
    }
    const by = event.shiftKey ? longStep : 1;
    const from = chosen ?? { xPx: widthPx / 2, yPx: heightPx / 2 };
    const to = { xPx: from.xPx + by * step[0], yPx: from.yPx + by * step[1] };
    setPointer(to);
    onMark(to);
  };
  const r = widthPx / 150;
  return (
    <button
      type="button"
      className="mark-picture"
      aria-label={label}
      onClick={(event) =>
        onMark(event.detail === 0 ? { xPx: widthPx / 2, yPx: heightPx / 2 } : placeOf(event))
      }
      onPointerMove={(event) => setPointer(placeOf(event))}
      onPointerLeave={() => setPointer(null)}
      onKeyDown={onKeyDown}
    >
      <img src={url} alt="" draggable={false} />
      <svg viewBox={`-0.5 -0.5 ${widthPx} ${heightPx}`} aria-hidden>
        {marks.map((m) => (
          <g key={m.joint} className={m.joint === joint ? 'mark chosen' : 'mark'}>
            <circle cx={m.xPx} cy={m.yPx} r={r} className="casing" />
            <circle cx={m.xPx} cy={m.yPx} r={r} />
            <text x={m.xPx + 1.6 * r} y={m.yPx + r} fontSize={2.4 * r}>
              {m.joint}
            </text>
          </g>
        ))}
      </svg>
      {pointer && <Loupe url={url} widthPx={widthPx} heightPx={heightPx} {...pointer} />}
    </button>
  );
}
