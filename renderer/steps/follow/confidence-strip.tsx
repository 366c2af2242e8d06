import { scaleLinear } from 'd3-scale';
import { area } from 'd3-shape';
import type { FrameTrack } from '../../../shared-lib/contract/line-up.ts';
import type { FixedPoint, SideName } from '../../../shared-lib/contract/review.ts';
import { SaveChart } from '../../charts/save-chart.tsx';
import { useSize } from '../../parts/use-size.ts';
import { isLeftOut } from './doubtful.ts';

const heightPx = 64;

/** Confidence of every sample along the clip, gaps marked; the moment shown can be dragged or stepped. */
export function ConfidenceStrip({
  track,
  name,
  frame,
  fixed,
  onPick,
}: {
  track: FrameTrack;
  name: SideName;
  frame: number;
  fixed: readonly FixedPoint[];
  onPick: (frame: number) => void;
}) {
  const [box, { widthPx }] = useSize<HTMLDivElement>();
  const last = track.tS.length - 1;
  const x = scaleLinear([0, last], [0, Math.max(widthPx, 1)]);
  const y = scaleLinear([0, 1], [heightPx - 2, 6]);
  const shape = area<number>((i) => x(i), y(0), (i) => y(track.confidence[i])).digits(1); // prettier-ignore
  const gaps = track.state.flatMap((state, i) =>
    state === 'seen' || isLeftOut(track, i) ? [] : [{ i, state }],
  );
  const pick = (event: React.PointerEvent): void => {
    const { left } = event.currentTarget.getBoundingClientRect();
    onPick(Math.round(Math.min(Math.max(x.invert(event.clientX - left), 0), last)));
  };
  return (
    <div ref={box} className="charted">
      <svg
        className="chart strip"
        width={widthPx}
        height={heightPx}
        role="slider"
        tabIndex={0}
        aria-label="Picture shown, over the confidence of following"
        aria-valuemin={0}
        aria-valuemax={last}
        aria-valuenow={frame}
        aria-valuetext={`Frame ${frame}, ${track.state[frame]}`}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          pick(event);
        }}
        onPointerMove={(event) => event.buttons === 1 && pick(event)}
        onKeyDown={(event) => {
          const by = { ArrowRight: 1, ArrowLeft: -1, PageUp: 10, PageDown: -10 }[event.key];
          if (by === undefined) return;
          event.preventDefault();
          event.stopPropagation();
          onPick(Math.min(Math.max(frame + by, 0), last));
        }}
      >
        <path className={`confidence ${name}`} d={shape(track.tS.map((_, i) => i)) ?? ''} />
        {gaps.map(({ i, state }) => (
          <rect
            key={i}
            className={`gap ${state}`}
            x={x(i - 0.5)}
            width={Math.max(1, x(1) - x(0))}
            y={0}
            height={heightPx}
          />
        ))}
        {fixed.map(({ frame: at }) => (
          <rect
            key={`fixed-${at}`}
            className="fixed-point"
            x={x(at) - 4}
            width={8}
            y={heightPx - 10}
            height={8}
          />
        ))}
        <line className="playhead" x1={x(frame)} x2={x(frame)} y1={0} y2={heightPx} />
      </svg>
      <SaveChart title="Confidence of following" />
    </div>
  );
}
