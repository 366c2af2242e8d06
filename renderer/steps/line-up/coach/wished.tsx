import { useEffect } from 'react';
import type { Handle } from '../../../../shared-lib/contract/coaching.ts';
import type { LineUp } from '../../../../shared-lib/contract/line-up.ts';
import type { SideName } from '../../../../shared-lib/contract/review.ts';
import { handlesOn } from '../../../../shared-lib/wished-path/smooth-way.ts';
import { askWished, setWished, useCoaching, wishedKey } from '../../../state/coaching.ts';
import { useDesk } from '../../../state/store.ts';

/** The path that the bar should take: begun from a measured one and bent on the chart; and how far today was from it. */
export function Wished({ lineUp }: { lineUp: LineUp }) {
  const review = useDesk((desk) => desk.review!.now);
  const path = review.coaching.wishedPath;
  const key = wishedKey(review);
  const wished = useCoaching((coaching) => (coaching.wished?.key === key ? coaching.wished.value : null));
  const busy = useDesk((desk) => desk.job !== null);
  useEffect(() => {
    if (!path || wished) return;
    // Bending goes on while the hand is on the handle.
    const timer = setTimeout(() => void askWished(), 500);
    return () => clearTimeout(timer);
  }, [path, key]); // eslint-disable-line react-hooks/exhaustive-deps
  const begin = (side: SideName) => () =>
    setWished('Begin a wished path', () => ({
      down: handlesOn(wayOf(lineUp, side, 'down')),
      up: handlesOn(wayOf(lineUp, side, 'up')),
    }));
  return (
    <section className="coach-part" aria-label="Wished path">
      {!path ? (
        <>
          <p>Begin from a path that was measured, then bend it on the chart between the pictures.</p>
          <div className="choices">
            <button className="button first" onClick={begin('reference')}>
              Begin from the reference
            </button>
            <button className="button" onClick={begin('today')}>
              Begin from today’s rep
            </button>
          </div>
        </>
      ) : (
        <>
          <p className="small muted">
            Drag a diamond on the chart, or go to one with Tab and move it with the arrow keys, a millimetre
            at a time, with Shift a centimetre. The path is laid into both pictures.
          </p>
          {wished?.sentences.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          {wished && (
            <p className="small muted">
              Over all heights:{' '}
              {(['down', 'up'] as const)
                .flatMap((way) => {
                  const found = wished[way];
                  const name = way === 'down' ? 'down' : 'up';
                  return found
                    ? [
                        `${name} ${(100 * found.rmsM).toFixed(1)} cm root mean square (${(100 * found.rmsLo95M).toFixed(1)} to ${(100 * found.rmsHi95M).toFixed(1)})`,
                      ]
                    : [];
                })
                .join(', ')}
            </p>
          )}
          {!wished && (
            <p className="small">{busy ? 'Measuring against it.' : 'Not measured against it yet.'}</p>
          )}
          <div className="choices">
            <button className="button" onClick={() => setWished('Take the wished path away', () => null)}>
              Take the wished path away
            </button>
          </div>
        </>
      )}
    </section>
  );
}

/** The measured way down or up of a side, from its start. */
function wayOf(lineUp: LineUp, side: SideName, way: 'down' | 'up'): Handle[] {
  const { path, rep } = lineUp[side].reps[0];
  const low = rep.touch_s ?? rep.bottom_s;
  const [from, to] = way === 'down' ? [rep.start_s, low] : [rep.drive_start_s, rep.lockout_s];
  if (from === null || to === null) return [];
  return path.tS.flatMap((t, i) => {
    const [xM, yM] = [path.xM[i], path.yM[i]];
    return t >= from && t <= to && xM !== null && yM !== null ? [{ xM, yM }] : [];
  });
}
