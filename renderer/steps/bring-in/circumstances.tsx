import { useId } from 'react';
import { whyNotComparable } from '../../../shared-lib/cue/comparable.ts';
import { circumstancesSchema, type Circumstances } from '../../../shared-lib/contract/circumstances.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import { sideNames, type ReviewSide, type SideName } from '../../../shared-lib/contract/review.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import { change, useDesk } from '../../state/store.ts';

const titles = { reference: 'Reference rep', today: 'Today’s rep' } as const;

/** Ways of each lift that are often told apart; the coach's own words count as much. */
const variants: Record<Lift, readonly string[]> = {
  squat: ['high bar', 'low bar', 'front', 'box'],
  bench: ['competition grip', 'close grip', 'wide grip', 'feet up'],
  deadlift: ['conventional', 'sumo', 'deficit', 'from blocks'],
};

const set = (side: SideName, label: string, part: Partial<Circumstances>): void =>
  change(label, (review) => void Object.assign(review[side]!.circumstances, part));

/** What was asked once of each rep, and whether the two compare by it. */
export function CircumstancesOfBoth() {
  const review = useDesk((desk) => desk.review!.now);
  const { reference, today, lift } = review;
  if (!reference && !today) return null;
  return (
    <details className="context">
      <summary>About each rep: when, how, and how hard</summary>
      <div className="two-clips">
        {sideNames.map((name) =>
          review[name] ? <OfSide key={name} name={name} side={review[name]} lift={lift} /> : null,
        )}
      </div>
      <NotComparable />
    </details>
  );
}

/** Why the two reps of the review do not compare, a sentence each; nothing where nothing speaks against it. */
export function NotComparable() {
  const { reference, today, lift } = useDesk((desk) => desk.review!.now);
  if (!reference || !today) return null;
  // That loads differ, or are not known, is said where they are.
  const of = ({ circumstances }: ReviewSide) => ({ lift, circumstances, loadKg: 1 });
  const why = whyNotComparable(of(reference), of(today));
  if (why.length === 0) return null;
  return (
    <div className="not-comparable" role="note">
      <p className="small">
        <strong>The reference rep does not quite compare with today’s.</strong>
      </p>
      <ul className="small">
        {why.map((each) => (
          <li key={each}>{each}</li>
        ))}
      </ul>
    </div>
  );
}

function OfSide({ name, side, lift }: { name: SideName; side: ReviewSide; lift: Lift }) {
  const { circumstances: said } = side;
  const other = useDesk(({ review }) => review!.now[name === 'today' ? 'reference' : 'today']?.circumstances);
  const id = useId();
  const select = <Key extends 'bottom' | 'intent' | 'inSession'>(key: Key, label: string) => (
    <label className="field">
      <span className="label">{label}</span>
      <select
        value={said[key] ?? ''}
        onChange={({ target }) => set(name, label, { [key]: target.value || null })}
      >
        <option value="">not said</option>
        {circumstancesSchema.shape[key].unwrap().options.map((each) => (
          <option key={each}>{each}</option>
        ))}
      </select>
    </label>
  );
  const text = (key: 'variant' | 'equipment', label: string, hints: readonly string[], most: number) => (
    <label className="field">
      <span className="label">{label}</span>
      <input
        list={`${id}${key}`}
        value={said[key] ?? ''}
        maxLength={most}
        onChange={({ target }) => set(name, label, { [key]: target.value || null })}
      />
      <datalist id={`${id}${key}`}>
        {hints.map((each) => (
          <option key={each} value={each} />
        ))}
      </datalist>
    </label>
  );
  return (
    <section aria-label={`About ${titles[name].toLowerCase()}`} className="circumstances">
      <h3 className={`${name}-word`}>
        <span aria-hidden className={`sign ${name}`} /> {titles[name]}
      </h3>
      <label className="field">
        <span className="label">Filmed on</span>
        <input
          type="date"
          value={said.day ?? ''}
          onChange={({ target }) => set(name, 'Filmed on', { day: target.value || null })}
        />
      </label>
      {text('variant', 'Grip, stance or style', variants[lift], 80)}
      {lift !== 'deadlift' && select('bottom', 'At the bottom')}
      {text('equipment', 'Worn', ['nothing', 'belt', 'belt, wraps', 'belt, sleeves'], 120)}
      {select('intent', 'Meant to be')}
      <NumberInput
        label="Reps that would still have gone"
        value={said.repsLeft}
        from={0}
        to={20}
        onChange={(repsLeft) => set(name, 'Reps left', { repsLeft })}
      />
      {select('inSession', 'Place in the session')}
      {other && (
        <button
          className="button"
          onClick={() => set(name, 'As in the other rep', { ...other, day: said.day })}
        >
          As in {name === 'today' ? 'the reference rep' : 'today’s rep'}, but the day
        </button>
      )}
    </section>
  );
}
