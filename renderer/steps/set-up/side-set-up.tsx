import { useState } from 'react';
import type { ClipOptions, SideName } from '../../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../../shared-lib/motion/frame-times.ts';
import { ClipFigure } from '../../parts/clip-figure.tsx';
import { endOf, rimEnds, withEnd } from '../../parts/ellipse.ts';
import { Handle } from '../../parts/handle.tsx';
import { useFollowed, type Followed } from '../../state/followed.ts';
import { change, useDesk } from '../../state/store.ts';
import { discWords, scaleWords, upWords, type Mode } from './set-up-words.ts';
import { lineOf, plumbEnds, pointAt, usePlumb, useRim } from './stated.ts';
import { Statement } from './statement.tsx';
import { FacingStatement, SizeStatement, SpeedStatement } from './statements.tsx';

const words = { reference: 'Reference rep', today: 'Today’s rep' } as const;

export function SideSetUp({ name }: { name: SideName }) {
  const side = useDesk((desk) => desk.review!.now[name]!);
  const busy = useDesk((desk) => desk.job !== null);
  const { followed, isBehind, follow } = useFollowed(name);
  return (
    <section className="side-set-up" aria-label={words[name]}>
      <h2 className={`${name}-word`}>
        <span aria-hidden className={`sign ${name}`} /> {words[name]}{' '}
        <span className="muted small file-name">{side.clip.name}</span>
      </h2>
      {followed ? (
        <Found followed={followed} isBehind={isBehind} name={name} options={side.options} />
      ) : (
        <div className="drop">
          <p>{busy ? 'Looking for the disc…' : 'The disc was not found yet.'}</p>
          <button className="button first" disabled={busy} onClick={follow}>
            Find the disc
          </button>
        </div>
      )}
    </section>
  );
}

function Found({
  followed,
  isBehind,
  name,
  options,
}: {
  followed: Followed;
  isBehind: boolean;
  name: SideName;
  options: ClipOptions;
}) {
  const confirmed = useDesk((desk) => desk.review!.now[name]!.discConfirmed);
  const { media, track, calibration } = followed;
  const [mode, setMode] = useState<Mode>('look');
  const [frame, setFrame] = useState(() => Math.max(0, track.state.indexOf('seen')));
  const [looking, setLooking] = useState<string | null>(null);
  const enter = (next: Mode): void => {
    setMode(next);
    setLooking(null);
    // A plumb line is in the first picture's pixels, a drawn rim in those of its own.
    if (next === 'up') setFrame(0);
    if (next === 'rim' && options.rim) setFrame(nearestFrame(track.ptsS, options.rim.ptsS));
  };
  const rim = useRim(name, followed, options, frame);
  const plumb = usePlumb(name, followed, options);
  const ends = plumbEnds(plumb.shown);
  const at =
    looking === null || mode === 'look' || mode === 'point'
      ? null
      : mode === 'up'
        ? ends[looking === 'top' ? 0 : 1]
        : looking === 'middle'
          ? rim.shown
          : endOf(rim.shown, looking as (typeof rimEnds)[number]);
  const look = (which: string) => (on: boolean) =>
    setLooking((now) => (on ? which : now === which ? null : now));
  const degrees = (rim.shown.thetaRad * 180) / Math.PI;
  const isLost = track.xPx[frame] === null && mode !== 'rim';
  return (
    <>
      <ClipFigure
        media={media}
        frame={frame}
        alt={`Frame ${frame} with the disc that was found`}
        loupe={at}
        onPoint={
          mode === 'point'
            ? (point) => {
                pointAt(name, track.ptsS[frame], point);
                enter('look');
              }
            : undefined
        }
        draw={(unit, isLoupe) => (
          <>
            {!isLost && (
              <g transform={`translate(${rim.shown.xPx} ${rim.shown.yPx}) rotate(${degrees})`}>
                {!isLoupe && <ellipse className="ring casing" rx={rim.shown.aPx} ry={rim.shown.bPx} />}
                <ellipse className={`ring ${name}`} rx={rim.shown.aPx} ry={rim.shown.bPx} />
                {mode === 'look' && <circle className={`middle ${name}`} r={5 * unit} />}
              </g>
            )}
            {(mode === 'up' || (options.plumb && frame === 0)) && (
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
              (['top', 'foot'] as const).map((end, i) => (
                <Handle
                  key={end}
                  label={end === 'top' ? 'Upright, top' : 'Upright, foot'}
                  at={ends[i]}
                  unit={unit}
                  media={media}
                  onMove={
                    ({ xPx, yPx }) =>
                    plumb.move(i === 0 ? [xPx, yPx, ends[1].xPx, ends[1].yPx] : [ends[0].xPx, ends[0].yPx, xPx, yPx]) // prettier-ignore
                  }
                  onDone={plumb.done}
                  onLook={look(end)}
                />
              ))}
          </>
        )}
      />
      <label className="picture-shown small">
        <span className="muted">Picture {frame}</span>
        <input
          type="range"
          aria-label="Picture shown"
          min={0}
          max={track.ptsS.length - 1}
          value={frame}
          disabled={mode === 'up' || (mode === 'rim' && options.rim !== null)}
          onChange={({ target }) => setFrame(Number(target.value))}
        />
        <span className="muted">{track.tS[frame].toFixed(2)} s</span>
      </label>
      <div className="statements">
        <Statement
          title="Disc"
          isAsked={!confirmed}
          isOpen={mode === 'point' || mode === 'rim'}
          onOpen={(open) => enter(open ? 'rim' : 'look')}
          says={discWords(confirmed, options, mode)}
        >
          <div className="set-up-buttons">
            {!confirmed && (
              <button
                className="button first"
                onClick={() => {
                  change('Confirm the disc', (draft) => void (draft[name]!.discConfirmed = true));
                  enter('look');
                }}
              >
                Yes, that is the disc
              </button>
            )}
            <button
              className="button"
              aria-pressed={mode === 'point'}
              onClick={() => enter(mode === 'point' ? 'look' : 'point')}
            >
              Another disc
            </button>
            <button
              className="button"
              aria-pressed={mode === 'rim'}
              onClick={() => enter(mode === 'rim' ? 'look' : 'rim')}
            >
              Draw the rim
            </button>
            {options.rim && (
              <button
                className="button bare"
                onClick={() => change('Put the rim back', (draft) => void (draft[name]!.options.rim = null))}
              >
                Put the found rim back
              </button>
            )}
          </div>
        </Statement>
        <SizeStatement name={name} options={options} />
        <Statement
          title="Up"
          isOpen={mode === 'up'}
          onOpen={(open) => enter(open ? 'up' : 'look')}
          says={upWords(calibration)}
        >
          <div className="set-up-buttons">
            {!options.plumb && (
              <button
                className="button first"
                onClick={() => {
                  plumb.move(plumb.shown);
                  plumb.done();
                }}
              >
                Take this line
              </button>
            )}
            {options.plumb && (
              <button
                className="button"
                onClick={() =>
                  change('Remove the upright', (draft) => void (draft[name]!.options.plumb = null))
                }
              >
                Remove the line
              </button>
            )}
            <span className="small muted">
              Drag its ends onto one upright, or move them by the arrow keys, Shift for longer steps.
            </span>
          </div>
        </Statement>
        <FacingStatement name={name} options={options} />
        <SpeedStatement name={name} options={options} followed={followed} />
      </div>
      <p className="small muted figures" role="status" data-metres-per-px={calibration.metresPerPx}>
        {isBehind ? 'Working it out…' : scaleWords(calibration)}
      </p>
    </>
  );
}
