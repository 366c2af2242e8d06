import { useEffect, useState } from 'react';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import { liftSchema, type Lift } from '../../shared-lib/contract/lift.ts';
import type { Lifter } from '../../shared-lib/contract/lifter.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import { NumberInput } from '../parts/number-input.tsx';
import { askWeeks, changeLifter, packLifter, showLifters, useLifters } from '../state/lifters.ts';
import { openReview, useDesk } from '../state/store.ts';
import { RemoveLifter } from './remove-lifter.tsx';
import { Weeks } from './weeks.tsx';

const lifts = liftSchema.options;
const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });

/** One lifter: who, every review in time, each measure over the weeks, and what became of each cue. */
export function LifterPage({ lifter }: { lifter: Lifter }) {
  const reviews = useDesk((desk) => desk.reviews)?.filter(({ lifterId }) => lifterId === lifter.id);
  const busy = useDesk((desk) => desk.job !== null);
  const present = lifts.filter((lift) => reviews?.some((review) => review.lift === lift));
  const [chosen, setLift] = useState<Lift | null>(null);
  const lift = chosen ?? present[0] ?? null;
  const weeks = useLifters((lifters) => lifters.weeks);
  const key = `${lifter.id} ${lift}`;
  useEffect(() => {
    if (lift && weeks?.key !== key) void askWeeks(lift);
  }, [key, lift]); // eslint-disable-line react-hooks/exhaustive-deps
  return (
    <div className="column lifter">
      <div className="reviews-head">
        <h1>{lifter.name || 'Unnamed lifter'}</h1>
        <button className="button" onClick={() => void showLifters()}>
          All lifters
        </button>
        <Pack id={lifter.id} />
      </div>
      {present.length > 1 && (
        <div className="choices" role="group" aria-label="Lift">
          {present.map((each) => (
            <button key={each} className="button" aria-pressed={each === lift} onClick={() => setLift(each)}>
              {texts.measures.liftTitles[each]}
            </button>
          ))}
        </div>
      )}
      {lift && weeks?.key === key && <Weeks lift={lift} {...weeks.value} />}
      {lift && weeks?.key !== key && (
        <p>
          {busy ? (
            'The reviews are being measured; this is quick the next time.'
          ) : (
            <button className="button first" onClick={() => void askWeeks(lift)}>
              Measure this lifter’s reviews
            </button>
          )}
        </p>
      )}
      <section aria-label="Reviews">
        <h2>Reviews</h2>
        {reviews?.length === 0 && (
          <p>None yet. Open a review, and choose this lifter under “Usual” in Line up.</p>
        )}
        <ul className="reviews">
          {reviews?.map(({ id, title, lift: of, madeAt }) => (
            <li key={id} className="review-row">
              <button className="review-open" onClick={() => void openReview(id)}>
                <strong>{title || 'Unnamed review'}</strong>
                <span className="muted small">
                  {texts.measures.liftTitles[of]} · {day.format(new Date(madeAt))}
                </span>
              </button>
            </li>
          ))}
        </ul>
      </section>
      <About lifter={lifter} />
    </div>
  );
}

function About({ lifter }: { lifter: Lifter }) {
  const set = (part: Partial<Lifter>): void => void changeLifter((now) => ({ ...now, ...part }));
  return (
    <section className="about" aria-label="About the lifter">
      <h2>About</h2>
      <label className="field">
        <span className="label">Name</span>
        <input value={lifter.name} maxLength={120} onChange={({ target }) => set({ name: target.value })} />
      </label>
      <NumberInput
        label="Body weight, kg"
        value={lifter.bodyKg}
        from={20}
        to={400}
        onChange={(bodyKg) => set({ bodyKg })}
      />
      {lifts.map((lift) => (
        <NumberInput
          key={lift}
          label={`Best ${texts.measures.liftTitles[lift].toLowerCase()}, kg`}
          value={lifter.bestKg[lift]}
          from={1}
          to={1000}
          onChange={(kg) => set({ bestKg: { ...lifter.bestKg, [lift]: kg } })}
        />
      ))}
      <label className="field">
        <span className="label">Federation whose rulebook applies</span>
        <input
          value={lifter.federation}
          maxLength={120}
          onChange={({ target }) => set({ federation: target.value })}
        />
      </label>
      <label className="field notes">
        <span className="label">Notes</span>
        <textarea
          rows={4}
          value={lifter.notes}
          maxLength={8000}
          onChange={({ target }) => set({ notes: target.value })}
        />
      </label>
      <div className="notes">
        <RemoveLifter lifter={lifter} />
      </div>
    </section>
  );
}

/** Everything of the lifter in one zip file. */
function Pack({ id }: { id: string }) {
  const [made, setMade] = useState<OutputOf<'exportLifter'> | null>(null);
  const pack = async (withClips: boolean): Promise<void> => setMade(await packLifter(id, withClips));
  return (
    <>
      <button className="button" onClick={() => void pack(false)}>
        Pack into a zip
      </button>
      <button className="button" onClick={() => void pack(true)}>
        Pack with the clips
      </button>
      {made && (
        <span className="small" role="status">
          <a href={`/zip/${id}`} download={made.name}>
            {made.name}
          </a>{' '}
          {(made.bytes / 1e6).toFixed(1)} MB, in {made.file}
        </span>
      )}
    </>
  );
}
