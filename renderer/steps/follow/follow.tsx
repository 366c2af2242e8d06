import { useState } from 'react';
import { Radio, RadioGroup } from 'react-aria-components';
import { sideNames, type SideName } from '../../../shared-lib/contract/review.ts';
import { useFollowed } from '../../state/followed.ts';
import { look, useDesk } from '../../state/store.ts';
import { FollowedSide } from './followed-side.tsx';
import { GrowingTrace } from './growing-trace.tsx';
import './follow.css';

const words = { reference: 'Reference rep', today: 'Today’s rep' } as const;

/** How well the bar was followed in each clip, picture by picture, and every sample to put right. */
export function Follow() {
  const review = useDesk((desk) => desk.review!.now);
  const there = sideNames.filter((name) => review[name] !== null);
  const [wanted, setWanted] = useState<SideName>('reference');
  const name = there.includes(wanted) ? wanted : there[0];
  return (
    <div className="column wide">
      <div className="screen-head">
        <h1>Follow</h1>
        {there.length > 1 && (
          <RadioGroup
            aria-label="Clip shown"
            value={name}
            onChange={(value) => setWanted(value === 'reference' ? 'reference' : 'today')}
          >
            <div className="choices">
              {there.map((each) => (
                <Radio key={each} value={each} className="choice">
                  {words[each]}
                </Radio>
              ))}
            </div>
          </RadioGroup>
        )}
        {there.length === 2 && (
          <button
            className="button first push"
            onClick={() => look((draft) => void (draft.place.step = 'Line up'))}
          >
            Go on to Line up
          </button>
        )}
      </div>
      {name ? (
        <SideFollow key={name} name={name} />
      ) : (
        <p>
          There are no clips yet.{' '}
          <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
            Bring in
          </button>
        </p>
      )}
    </div>
  );
}

function SideFollow({ name }: { name: SideName }) {
  const side = useDesk((desk) => desk.review!.now[name]!);
  const busy = useDesk((desk) => desk.job !== null);
  const { followed, isBehind, growing, follow } = useFollowed(name);
  if (followed)
    return <FollowedSide key={side.clip.sha256} followed={followed} isBehind={isBehind} name={name} />;
  return busy ? (
    <GrowingTrace sha256={side.clip.sha256} clip={side.clip.name} name={name} points={growing} />
  ) : (
    <div className="drop">
      <p>The bar was not followed in this clip yet.</p>
      <button className="button first" onClick={follow}>
        Follow the bar
      </button>
    </div>
  );
}
