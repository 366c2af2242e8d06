import { useState } from 'react';
import type { ClipOptions, SideName } from '../../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../../shared-lib/motion/frame-times.ts';
import { useFollowed, type Followed } from '../../state/followed.ts';
import { change, useDesk } from '../../state/store.ts';
import { discWords, scaleWords, upWords, type Mode } from './set-up-words.ts';
import { NotFound } from './not-found.tsx';
import { PictureChoice, SetUpPicture } from './set-up-picture.tsx';
import { FollowedStatement } from './sleeve-end.tsx';
import { foundRim, pointAt, pointAtSleeveEnd, usePlumb, useRim } from './stated.ts';
import { Statement } from './statement.tsx';
import { FacingStatement, SizeStatement, SpeedStatement } from './statements.tsx';

const words = { reference: 'Reference rep', today: 'Today’s rep' } as const;

export function SideSetUp({ name }: { name: SideName }) {
  const side = useDesk((desk) => desk.review!.now[name]!);
  const busy = useDesk((desk) => desk.job !== null);
  const { followed, isBehind, isTried, follow } = useFollowed(name);
  return (
    <section className="side-set-up" aria-label={words[name]}>
      <h2 className={`${name}-word`}>
        <span aria-hidden className={`sign ${name}`} /> {words[name]}{' '}
        <span className="muted small file-name">{side.clip.name}</span>
      </h2>
      {followed ? (
        <Found followed={followed} isBehind={isBehind} name={name} options={side.options} />
      ) : busy || !isTried ? (
        <p role="status">Looking for the disc…</p>
      ) : (
        <NotFound name={name} sha256={side.clip.sha256} options={side.options} onFollow={follow} />
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
  const enter = (next: Mode): void => {
    setMode(next);
    // A plumb line is in the first picture's pixels, a drawn rim in those of its own.
    if (next === 'up') setFrame(0);
    if (next === 'rim' && options.rim) setFrame(nearestFrame(track.ptsS, options.rim.ptsS));
  };
  const found = foundRim(followed, frame);
  const rim = useRim(name, found, track.ptsS, options, frame);
  const plumb = usePlumb(name, followed, options);
  return (
    <>
      <SetUpPicture
        name={name}
        media={media}
        frame={frame}
        alt={`Frame ${frame} with the disc that was found`}
        mode={mode}
        rim={rim}
        showsRim={track.xPx[frame] !== null || mode === 'rim'}
        plumb={plumb}
        showsPlumb={mode === 'up' || (options.plumb !== null && frame === 0)}
        sleeveEnd={
          options.sleeveEnd && nearestFrame(track.ptsS, options.sleeveEnd.ptsS) === frame
            ? options.sleeveEnd
            : null
        }
        onPoint={(point) => {
          if (mode === 'sleeve') pointAtSleeveEnd(name, track.ptsS[frame], point, found);
          else pointAt(name, track.ptsS[frame], point);
          enter('look');
        }}
      />
      <PictureChoice
        frame={frame}
        ptsS={track.ptsS}
        isFixed={mode === 'up' || (mode === 'rim' && options.rim !== null)}
        onChoose={setFrame}
      />
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
        <FollowedStatement
          name={name}
          options={options}
          calibration={calibration}
          mode={mode}
          onMode={enter}
        />
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
