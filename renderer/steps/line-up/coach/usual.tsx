import { useEffect } from 'react';
import type { LineUp } from '../../../../shared-lib/contract/line-up.ts';
import { sideNames, type SideName } from '../../../../shared-lib/contract/review.ts';
import { directionWords, measureLabel } from '../../../../shared-lib/pair/sentences.ts';
import { measureInfo } from '../../../../shared-lib/contract/measures.ts';
import { bandWords, valueWords } from '../../../../shared-lib/page/words.ts';
import { askUsual, markUsual, useCoaching, usualKey } from '../../../state/coaching.ts';
import { useDesk } from '../../../state/store.ts';
import { leastOfSet } from '../../../../shared-lib/cue/set-words.ts';
import { SetCourse } from './set-course.tsx';
import { LifterChoice } from '../../../lifters/lifter-choice.tsx';

const words = { reference: 'the reference clip', today: 'today’s clip' } as const;

/** Whose lift it is, which reps count as usual, and where the next ordinary rep is expected. */
export function Usual({ lineUp }: { lineUp: LineUp }) {
  const review = useDesk((desk) => desk.review!.now);
  const key = usualKey(review);
  const usual = useCoaching((coaching) => (coaching.usual?.key === key ? coaching.usual.value : null));
  const busy = useDesk((desk) => desk.job !== null);
  const linked = review.lifterId !== null;
  useEffect(() => {
    if (linked && !usual) void askUsual();
  }, [linked, key]); // eslint-disable-line react-hooks/exhaustive-deps
  return (
    <section className="coach-part" aria-label="What is usual">
      <LifterChoice />
      {!linked && (
        <p className="small muted">
          Say whose reps these are: ordinary ones can then be marked, three or more of them make a band, and
          only against that band can a difference be told from how this lifter always varies.
        </p>
      )}
      {sideNames.map((side) =>
        lineUp[side].repCount >= leastOfSet ? <SetCourse key={side} side={side} /> : null,
      )}
      {linked && (
        <>
          {sideNames.map((side) => (
            <Marks key={side} side={side} count={lineUp[side].repCount} busy={busy} />
          ))}
          {!usual && busy && <p className="small">The lifter’s usual reps are being measured.</p>}
          {usual && (
            <>
              <p>
                <strong>{usual.state}</strong>{' '}
                <span className="muted small">
                  {usual.marked === 0
                    ? 'No rep of this lift is marked yet.'
                    : `${usual.comparable} of ${usual.marked} marked reps compare with today’s.`}
                </span>
              </p>
              {usual.measures.length > 0 && (
                <table className="small">
                  <thead>
                    <tr>
                      <th>Measure</th>
                      <th>Usual, 95 %</th>
                      <th>Today</th>
                      <th />
                    </tr>
                  </thead>
                  <tbody>
                    {usual.measures.map(({ name, lo95, hi95, today }) => {
                      const { unit } = measureInfo[name];
                      const ways = directionWords(review.lift);
                      const inside = today !== null && today >= lo95 && today <= hi95;
                      return (
                        <tr key={name}>
                          <th scope="row">{measureLabel(name, review.lift)}</th>
                          <td>{bandWords(name, unit, { lo95, hi95 }, ways)}</td>
                          <td>
                            {today === null ? '–' : valueWords(name, unit, today, (hi95 - lo95) / 4, ways)}
                          </td>
                          <td className="muted">{today === null ? '' : inside ? 'within' : 'outside'}</td>
                        </tr>
                      );
                    })}
                  </tbody>
                </table>
              )}
              {usual.notComparable.length > 0 && (
                <details className="small">
                  <summary>Marked reps that do not compare</summary>
                  <ul>
                    {usual.notComparable.map((why) => (
                      <li key={why}>{why}</li>
                    ))}
                  </ul>
                </details>
              )}
            </>
          )}
        </>
      )}
    </section>
  );
}

function Marks({ side, count, busy }: { side: SideName; count: number; busy: boolean }) {
  const rep = useDesk((desk) => desk.review!.now[side]?.rep ?? 1);
  const all = Array.from({ length: count }, (_, i) => i + 1);
  return (
    <div className="choices">
      <button className="choice small" disabled={busy} onClick={() => void markUsual(side, [rep], true)}>
        Mark rep {rep} of {words[side]} as usual
      </button>
      {count > 1 && (
        <button className="choice small" disabled={busy} onClick={() => void markUsual(side, all, true)}>
          Mark all {count}
        </button>
      )}
      <button className="choice small" disabled={busy} onClick={() => void markUsual(side, all, false)}>
        Take the marks away
      </button>
    </div>
  );
}
