import { useState } from 'react';
import { sideNames, type SideName } from '../../../shared-lib/contract/review.ts';
import { useFollowed, type Followed } from '../../state/followed.ts';
import { bridge, look, useDesk } from '../../state/store.ts';
import { ConfidenceStrip } from './confidence-strip.tsx';
import './follow.css';

const words = { reference: 'Reference rep', today: 'Today’s rep' } as const;

/** How well the bar was followed in each clip, picture by picture. */
export function Follow() {
  const review = useDesk((desk) => desk.review!.now);
  const none = review.reference === null && review.today === null;
  return (
    <div className="column">
      <h1>Follow</h1>
      {none && (
        <p>
          There are no clips yet.{' '}
          <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
            Bring in
          </button>
        </p>
      )}
      <div className="two-clips">
        {sideNames.map((name) => (review[name] ? <SideFollow key={name} name={name} /> : null))}
      </div>
    </div>
  );
}

function SideFollow({ name }: { name: SideName }) {
  const busy = useDesk((desk) => desk.job !== null);
  const { followed, follow } = useFollowed(name);
  return (
    <section className="side-set-up" aria-label={words[name]}>
      <h2 className={`${name}-word`}>
        <span aria-hidden className={`sign ${name}`} /> {words[name]}
      </h2>
      {followed ? (
        <Followed followed={followed} name={name} />
      ) : (
        <div className="drop">
          <p>{busy ? 'Following the bar…' : 'The bar was not followed in this clip yet.'}</p>
          <button className="button first" disabled={busy} onClick={follow}>
            Follow the bar
          </button>
        </div>
      )}
    </section>
  );
}

function Followed({ followed, name }: { followed: Followed; name: SideName }) {
  const { media, track } = followed;
  const [frame, setFrame] = useState(0);
  const share = (state: string): number =>
    Math.round((100 * track.state.filter((each) => each === state).length) / track.state.length);
  const way = track.xPx.flatMap((x, i) => {
    const y = track.yPx[i];
    return x === null || y === null || i > frame ? [] : [`${x.toFixed(1)},${y.toFixed(1)}`];
  });
  const [x, y] = [track.xPx[frame], track.yPx[frame]];
  return (
    <>
      <figure className="disc-picture">
        <img
          width={media.widthPx}
          height={media.heightPx}
          src={bridge.transport.stillUrl(media.sha256, frame, Math.min(media.widthPx, 960))}
          alt={`Frame ${frame}: the bar is ${track.state[frame]}`}
        />
        <svg viewBox={`-0.5 -0.5 ${media.widthPx} ${media.heightPx}`} aria-hidden>
          <polyline className="ring casing" points={way.join(' ')} />
          <polyline className={`ring ${name}`} points={way.join(' ')} />
          {x !== null && y !== null && (
            <circle className={`middle ${name}`} cx={x} cy={y} r={media.widthPx / 160} />
          )}
        </svg>
      </figure>
      <ConfidenceStrip track={track} name={name} frame={frame} onPick={setFrame} />
      <p className="small" role="status">
        Frame {frame}, {track.tS[frame].toFixed(2)} s: {track.state[frame]}
        {track.state[frame] === 'seen' && `, confidence ${Math.round(100 * track.confidence[frame])} %`}.{' '}
        <span className="muted">
          In the whole clip {share('seen')} % seen, {share('bridged')} % bridged, {share('lost')} % lost.
        </span>
      </p>
    </>
  );
}
