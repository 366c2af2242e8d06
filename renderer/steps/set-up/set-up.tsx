import { sideNames } from '../../../shared-lib/contract/review.ts';
import { change, look, useDesk } from '../../state/store.ts';
import { SideSetUp } from './side-set-up.tsx';
import './set-up.css';

/** What was found in each clip, for a yes or a correction. */
export function SetUp() {
  const review = useDesk((desk) => desk.review!.now);
  const both = review.reference !== null && review.today !== null;
  return (
    <div className="column wide">
      <div className="screen-head">
        <h1>Set up</h1>
        <p className="muted">
          Everything here was proposed by the program. Say yes, or put it right; what was said once is not
          asked again.
        </p>
        {both && (
          <button
            className="button first push"
            onClick={() => look((draft) => void (draft.place.step = 'Follow'))}
          >
            Go on to Follow
          </button>
        )}
      </div>
      {!both && (
        <p>
          {(review.reference ?? review.today) ? 'One clip is still missing.' : 'There are no clips yet.'}{' '}
          <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
            Bring in
          </button>
        </p>
      )}
      <div className="two-clips">
        {sideNames.map((name) =>
          review[name] ? <SideSetUp key={review[name].clip.sha256 + name} name={name} /> : null,
        )}
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
