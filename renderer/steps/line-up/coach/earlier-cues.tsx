import { useEffect } from 'react';
import type { CueNow } from '../../../../shared-lib/contract/weeks.ts';
import type { Measure } from '../../../../shared-lib/contract/rep.ts';
import type { Lift } from '../../../../shared-lib/contract/lift.ts';
import { isHorizontal } from '../../../../shared-lib/page/words.ts';
import { directionWords } from '../../../../shared-lib/pair/sentences.ts';
import { Quantity, shownUnit } from '../../../../shared-lib/pair/units.ts';
import { askEarlier, earlierKey, useCoaching } from '../../../state/coaching.ts';
import { change, useDesk } from '../../../state/store.ts';

const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });

/** Each cue that is still open, with its measure then and now and whether it took. */
export function EarlierCues() {
  const review = useDesk((desk) => desk.review!.now);
  const key = earlierKey(review);
  const earlier = useCoaching((coaching) => (coaching.earlier?.key === key ? coaching.earlier.value : null));
  const busy = useDesk((desk) => desk.job !== null);
  const linked = review.lifterId !== null && review.today !== null;
  useEffect(() => {
    if (linked && !earlier && !busy) void askEarlier();
    // A job under way is no reason to ask again once it ends: the key says whether the answer is there.
  }, [linked, key]); // eslint-disable-line react-hooks/exhaustive-deps
  if (!linked) {
    return (
      <p className="small muted">
        Choose the lifter under “Usual”, and the cues of earlier reviews are shown here with what became of
        them.
      </p>
    );
  }
  if (!earlier) {
    return busy ? (
      <p className="small">Earlier cues are being measured.</p>
    ) : (
      <button className="button" onClick={() => void askEarlier()}>
        See what became of earlier cues
      </button>
    );
  }
  return (
    <>
      <h2>Cues still open from earlier reviews</h2>
      {earlier.length === 0 && <p className="small">None.</p>}
      <ul className="noted earlier">
        {earlier.map((cue) => (
          <EarlierCue key={`${cue.review} ${cue.cue}`} cue={cue} />
        ))}
      </ul>
    </>
  );
}

function EarlierCue({ cue }: { cue: CueNow }) {
  const lift = useDesk(({ review }) => review!.now.lift);
  const answer = (seen: boolean): void =>
    change(seen ? 'It is seen again' : 'It is not seen', ({ coaching }) => {
      coaching.seenAgain = [
        ...coaching.seenAgain.filter((s) => s.review !== cue.review || s.cue !== cue.cue),
        { review: cue.review, cue: cue.cue, seen },
      ];
    });
  return (
    <li>
      <div className="earlier-head">
        <strong>{cue.text}</strong>
        <span className={`call ${cue.call.replaceAll(' ', '-')}`}>{cue.call}</span>
      </div>
      <p className="small">
        Given {day.format(new Date(cue.givenAt))} for {cue.about}
        {cue.aim.kind === 'measure' && cue.before && cue.now && (
          <>
            : {shown(cue.aim.measure, cue.before, lift)} then,{' '}
            <strong>{shown(cue.aim.measure, cue.now, lift)}</strong> today
          </>
        )}
        . <span className="muted">{cue.why}</span>
      </p>
      {cue.aim.kind === 'observation' && (
        <div className="choices">
          <button className="choice small" onClick={() => answer(true)}>
            Seen again
          </button>
          <button className="choice small" onClick={() => answer(false)}>
            Not seen today
          </button>
        </div>
      )}
    </li>
  );
}

/** "10.4 cm ± 0.8", and which way where it lies across the bar's. */
export function shown(name: string, { value, u95, unit }: Measure, lift: Lift): string {
  const quantity = new Quantity(shownUnit(name, unit), u95);
  const spread = quantity.spread(u95);
  if (!isHorizontal(name)) return `${quantity.plain(value)} ${spread}`;
  const { forward, backward } = directionWords(lift);
  return `${quantity.size(value)} ${spread} ${value >= 0 ? forward : backward}`;
}
