import { useEffect } from 'react';
import { sideNames, type Review } from '../../../shared-lib/contract/review.ts';
import { useProposalsMeanwhile } from '../../state/bodies.ts';
import { compare, comparisonKey, look, useDesk } from '../../state/store.ts';
import { GrowingTrace } from '../follow/growing-trace.tsx';
import { LineUpScreen } from './line-up-screen.tsx';

/** Both reps side by side, once they are measured; what is missing, and the way to it, before. */
export function LineUpStep() {
  const review = useDesk((desk) => desk.review!.now);
  const lineUp = useDesk((desk) => desk.lineUp);
  const busy = useDesk((desk) => desk.job !== null);
  const key = comparisonKey(review);
  const ready = review.reference !== null && review.today !== null;
  useEffect(() => {
    if (ready) void compare();
  }, [key, ready]);
  useProposalsMeanwhile();
  if (lineUp?.key === key) return <LineUpScreen lineUp={lineUp.value} />;
  if (ready && busy) return <Comparing review={review} />;
  return (
    <div className="column">
      <h1>Line up</h1>
      {!ready ? (
        <>
          <p>Two clips are needed: a reference rep and today’s.</p>
          <div>
            <button
              className="button first"
              onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}
            >
              Bring them in
            </button>
          </div>
        </>
      ) : (
        <>
          <p>The two reps are not compared yet.</p>
          <div>
            <button className="button first" onClick={() => void compare()}>
              Compare the two
            </button>
          </div>
        </>
      )}
    </div>
  );
}

/** What is seen while the two are measured: the bar's way growing in both. */
function Comparing({ review }: { review: Review }) {
  const growing = useDesk((desk) => desk.growing);
  return (
    <div className="column wide">
      <div className="screen-head">
        <h1>Line up</h1>
        <p className="muted">
          The bar is being followed in both clips. You can stop it above and go on later.
        </p>
      </div>
      <div className="two-clips">
        {sideNames.map((name) => (
          <GrowingTrace
            key={name}
            sha256={review[name]!.clip.sha256}
            clip={review[name]!.clip.name}
            name={name}
            points={growing[name] ?? null}
          />
        ))}
      </div>
    </div>
  );
}
