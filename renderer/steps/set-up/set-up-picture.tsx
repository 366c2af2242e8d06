import { useState } from 'react';
import type { MediaInfo } from '../../../shared-lib/contract/clip.ts';
import type { ClipOptions, SideName, StatedRim } from '../../../shared-lib/contract/review.ts';
import { ClipFigure, type PointPx } from '../../parts/clip-figure.tsx';
import { endOf, rimEnds, withEnd } from '../../parts/ellipse.ts';
import { Handle } from '../../parts/handle.tsx';
import type { Mode } from './set-up-words.ts';
import { lineOf, plumbEnds, type Drawn, type Line } from './stated.ts';

/** One picture of a side's clip with the rim, the upright and the sleeve's end, each with handles while it is being set. */
export function SetUpPicture({
  name,
  media,
  frame,
  alt,
  mode,
  rim,
  showsRim,
  plumb,
  showsPlumb,
  sleeveEnd,
  onPoint,
}: {
  name: SideName;
  media: MediaInfo;
  frame: number;
  alt: string;
  mode: Mode;
  rim: Drawn<StatedRim>;
  showsRim: boolean;
  plumb?: Drawn<Line>;
  showsPlumb?: boolean;
  /** Where it was pointed at, in this picture. */
  sleeveEnd: ClipOptions['sleeveEnd'];
  onPoint: (at: PointPx) => void;
}) {
  const [looking, setLooking] = useState<{ at: string; mode: Mode } | null>(null);
  const ends = plumb && plumbEnds(plumb.shown);
  const look = (which: string) => (on: boolean) =>
    setLooking((now) => (on ? { at: which, mode } : now?.at === which ? null : now));
  // A handle that went with its mode is looked at no longer.
  const handle = looking?.mode === mode ? looking.at : null;
  const placeOf = (which: string): PointPx | null =>
    mode === 'up' && ends
      ? ends[which === 'top' ? 0 : 1]
      : mode === 'rim'
        ? which === 'middle'
          ? rim.shown
          : endOf(rim.shown, which as (typeof rimEnds)[number])
        : null;
  const { xPx, yPx, aPx, bPx, thetaRad } = rim.shown;
  const points = mode === 'point' || mode === 'sleeve';
  return (
    <ClipFigure
      media={media}
      frame={frame}
      alt={alt}
      loupe={handle === null ? null : placeOf(handle)}
      onPoint={points ? onPoint : undefined}
      draw={(unit, isLoupe) => (
        <>
          {showsRim && (
            <g transform={`translate(${xPx} ${yPx}) rotate(${(thetaRad * 180) / Math.PI})`}>
              {!isLoupe && <ellipse className="ring casing" rx={aPx} ry={bPx} />}
              <ellipse className={`ring ${name}`} rx={aPx} ry={bPx} />
              {mode === 'look' && <circle className={`middle ${name}`} r={5 * unit} />}
            </g>
          )}
          {sleeveEnd && (
            <circle
              className={`middle sleeve-end ${name}`}
              cx={sleeveEnd.xPx}
              cy={sleeveEnd.yPx}
              r={5 * unit}
            />
          )}
          {plumb && showsPlumb && (
            <>
              <line className="plumb casing" {...lineOf(plumb.shown)} />
              <line className="plumb" {...lineOf(plumb.shown)} />
            </>
          )}
          {!isLoupe &&
            mode === 'rim' &&
            (['middle', ...rimEnds] as const).map((end) => (
              <Handle
                key={end}
                label={end === 'middle' ? 'Middle of the rim' : `Rim, ${end}`}
                at={end === 'middle' ? rim.shown : endOf(rim.shown, end)}
                unit={unit}
                media={media}
                onMove={(to) =>
                  rim.move(end === 'middle' ? { ...rim.shown, ...to } : withEnd(rim.shown, end, to))
                }
                onDone={rim.done}
                onLook={look(end)}
              />
            ))}
          {!isLoupe &&
            mode === 'up' &&
            plumb &&
            ends &&
            (['top', 'foot'] as const).map((end, i) => (
              <Handle
                key={end}
                label={end === 'top' ? 'Upright, top' : 'Upright, foot'}
                at={ends[i]}
                unit={unit}
                media={media}
                onMove={(to) =>
                  plumb.move(
                    i === 0
                      ? [to.xPx, to.yPx, ends[1].xPx, ends[1].yPx]
                      : [ends[0].xPx, ends[0].yPx, to.xPx, to.yPx],
                  )
                }
                onDone={plumb.done}
                onLook={look(end)}
              />
            ))}
        </>
      )}
    />
  );
}

/** Which picture of the clip is shown. */
export function PictureChoice({
  frame,
  ptsS,
  isFixed,
  onChoose,
}: {
  frame: number;
  ptsS: readonly number[];
  isFixed: boolean;
  onChoose: (frame: number) => void;
}) {
  return (
    <label className="picture-shown small">
      <span className="muted">Picture {frame}</span>
      <input
        type="range"
        aria-label="Picture shown"
        min={0}
        max={ptsS.length - 1}
        value={frame}
        disabled={isFixed}
        onChange={({ target }) => onChoose(Number(target.value))}
      />
      <span className="muted">{(ptsS[frame] - ptsS[0]).toFixed(2)} s</span>
    </label>
  );
}
