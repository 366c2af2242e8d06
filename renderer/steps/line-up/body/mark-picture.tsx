import { useState } from 'react';
import type { BodyMark, Joint } from '../../../../shared-lib/contract/body.ts';
import type { MediaInfo } from '../../../../shared-lib/contract/clip.ts';
import type { Proposal } from '../../../../shared-lib/contract/pose-proposal.ts';
import { ClipFigure, type PointPx } from '../../../parts/clip-figure.tsx';
import { Handle } from '../../../parts/handle.tsx';
import { useDraft } from '../../../parts/use-draft.ts';

/**
 * The picture of one event with its marks and what is proposed. A click sets the chosen joint's mark; its handle is dragged
 * or moved by keys, from where it is proposed, or from the middle, where there is none yet.
 */
export function MarkPicture({
  media,
  frame,
  alt,
  joint,
  marks,
  proposals,
  onMark,
  onRemove,
}: {
  media: MediaInfo;
  frame: number;
  alt: string;
  joint: Joint;
  marks: readonly BodyMark[];
  proposals: readonly Proposal[];
  onMark: (place: PointPx) => void;
  onRemove: () => void;
}) {
  const [pointer, setPointer] = useState<PointPx | null>(null);
  const [isHeld, setHeld] = useState(false);
  const mark = marks.find((m) => m.joint === joint) ?? null;
  const waiting = proposals.filter((p) => !marks.some((m) => m.joint === p.joint));
  const { shown, move, done } = useDraft<PointPx | null>(mark, (at) => at && onMark(at));
  const at = shown ??
    waiting.find((p) => p.joint === joint) ?? { xPx: media.widthPx / 2, yPx: media.heightPx / 2 };
  return (
    <ClipFigure
      {...{ media, frame, alt }}
      loupe={isHeld ? at : pointer}
      onPoint={onMark}
      onHover={setPointer}
      draw={(unit, isLoupe) => (
        <>
          {!isLoupe && waiting.map((p) => <Proposed key={p.joint} proposal={p} unit={unit} />)}
          {marks
            .filter((m) => m.joint !== joint)
            .map((m) => (
              <g key={m.joint} className="mark">
                <circle cx={m.xPx} cy={m.yPx} r={5 * unit} className="casing" />
                <circle cx={m.xPx} cy={m.yPx} r={5 * unit} />
                {!isLoupe && <Name of={m} joint={m.joint} unit={unit} />}
              </g>
            ))}
          {!isLoupe && shown && (
            <g className="mark">
              <Name of={shown} joint={joint} unit={unit} />
            </g>
          )}
          {!isLoupe && (
            <g className={shown ? 'chosen' : 'chosen unset'}>
              <Handle
                label={`Mark of the ${joint}`}
                {...{ at, unit, media }}
                onMove={move}
                onDone={done}
                onLook={setHeld}
                onRemove={mark ? onRemove : undefined}
              />
            </g>
          )}
        </>
      )}
    />
  );
}

/** A diamond and a ring as wide as its doubt: nothing like a mark. */
function Proposed({ proposal, unit }: { proposal: Proposal; unit: number }) {
  const { xPx, yPx, spreadPx, joint } = proposal;
  const r = 7 * unit;
  const diamond = `M${xPx},${yPx - r}l${r},${r}l${-r},${r}l${-r},${-r}z`;
  return (
    <g className="proposed">
      <circle cx={xPx} cy={yPx} r={2 * spreadPx} className="casing" />
      <circle cx={xPx} cy={yPx} r={2 * spreadPx} />
      <path d={diamond} className="casing" />
      <path d={diamond} />
      <Name of={proposal} joint={`${joint}?`} unit={unit} />
    </g>
  );
}

function Name({ of, joint, unit }: { of: PointPx; joint: string; unit: number }) {
  return (
    <text x={of.xPx + 11 * unit} y={of.yPx + 4 * unit} fontSize={13 * unit}>
      {joint}
    </text>
  );
}
