import { useState } from 'react';
import { Radio, RadioGroup } from 'react-aria-components';
import { sideNames, type SideName } from '../../../shared-lib/contract/review.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import { useFollowed } from '../../state/followed.ts';
import { change, look, useDesk } from '../../state/store.ts';
import { DiscPicture } from './disc-picture.tsx';
import './set-up.css';

const words = { reference: 'Reference rep', today: 'Today’s rep' } as const;

/** What was found in each clip, for a yes or a correction. */
export function SetUp() {
  const review = useDesk((desk) => desk.review!.now);
  const both = review.reference !== null && review.today !== null;
  return (
    <div className="column">
      <h1>Set up</h1>
      {!both && (
        <p>
          {(review.reference ?? review.today) ? 'One clip is still missing.' : 'There are no clips yet.'}{' '}
          <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
            Bring in
          </button>
        </p>
      )}
      <div className="two-clips">
        {sideNames.map((name) => (review[name] ? <SideSetUp key={name} name={name} /> : null))}
      </div>
      {both && (
        <label className="check">
          <input
            type="checkbox"
            checked={review.sameCamera}
            onChange={({ target }) =>
              change('Whether the camera moved', (draft) => void (draft.sameCamera = target.checked))
            }
          />
          The camera did not move between the two clips
        </label>
      )}
    </div>
  );
}

type Pointing = 'disc' | 'plumb' | null;

function SideSetUp({ name }: { name: SideName }) {
  const side = useDesk((desk) => desk.review!.now[name]!);
  const busy = useDesk((desk) => desk.job !== null);
  const { followed, follow } = useFollowed(name);
  const [pointing, setPointing] = useState<Pointing>(null);
  const { options } = side;
  return (
    <section className="side-set-up" aria-label={words[name]}>
      <h2 className={`${name}-word`}>
        <span aria-hidden className={`sign ${name}`} /> {words[name]}
      </h2>
      {followed ? (
        <>
          <DiscPicture
            followed={followed}
            name={name}
            options={options}
            pointing={pointing}
            onDone={() => setPointing(null)}
          />
          <div className="set-up-buttons">
            <button
              className={side.discConfirmed ? 'button' : 'button first'}
              onClick={() =>
                change('Confirm the disc', (draft) => void (draft[name]!.discConfirmed = !side.discConfirmed))
              }
            >
              {side.discConfirmed ? 'Disc confirmed' : 'Yes, that is the disc'}
            </button>
            <button className="button" onClick={() => setPointing(pointing === 'disc' ? null : 'disc')}>
              {pointing === 'disc' ? 'Never mind' : 'No, point at it'}
            </button>
            <button className="button" onClick={() => setPointing(pointing === 'plumb' ? null : 'plumb')}>
              {pointing === 'plumb'
                ? 'Never mind'
                : options.plumb
                  ? 'Mark the upright again'
                  : 'Mark an upright'}
            </button>
            {options.plumb && (
              <button
                className="button bare"
                onClick={() =>
                  change('Remove the upright', (draft) => void (draft[name]!.options.plumb = null))
                }
              >
                Remove it
              </button>
            )}
          </div>
          <p className="small muted" role="status">
            {pointing === 'disc'
              ? 'Click the middle of the near disc, the largest one on the near end.'
              : pointing === 'plumb'
                ? 'Click two points on something upright, one well above the other.'
                : `Found at ${followed.track.ptsS[0].toFixed(1)} to ${followed.track.ptsS.at(-1)!.toFixed(1)} s; the ring should lie on the disc’s outer edge.`}
          </p>
        </>
      ) : (
        <div className="drop">
          <p>{busy ? 'Looking for the disc…' : 'The disc was not found yet.'}</p>
          <button className="button first" disabled={busy} onClick={follow}>
            Find the disc
          </button>
        </div>
      )}
      <div className="clip-fields">
        <NumberInput
          label="Disc’s diameter, mm, if measured"
          value={options.discMm}
          from={100}
          to={700}
          onChange={(mm) => change('The disc’s diameter', (draft) => void (draft[name]!.options.discMm = mm))}
        />
        <NumberInput
          label="Times slower than life"
          value={options.slowMotion}
          from={1}
          to={32}
          onChange={(times) =>
            change('Slow motion', (draft) => void (draft[name]!.options.slowMotion = times))
          }
        />
      </div>
      <RadioGroup
        className="field"
        value={options.facing ?? 'right'}
        onChange={(facing) =>
          change('Which way the lifter faces', (draft) => {
            draft[name]!.options.facing = facing === 'left' ? 'left' : 'right';
          })
        }
      >
        <span className="label">The lifter faces (bench press: the feet are)</span>
        <div className="choices">
          <Radio className="choice" value="left">
            left
          </Radio>
          <Radio className="choice" value="right">
            right
          </Radio>
        </div>
      </RadioGroup>
    </section>
  );
}
