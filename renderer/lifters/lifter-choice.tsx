import { useEffect, useState } from 'react';
import { change, useDesk } from '../state/store.ts';
import { listLifters, startLifter, useLifters } from '../state/lifters.ts';

/** Whose review this is. */
export function LifterChoice() {
  const { lifterId, lifter } = useDesk((desk) => desk.review!.now);
  const list = useLifters((lifters) => lifters.list);
  const [name, setName] = useState<string | null>(null);
  useEffect(() => void listLifters(), []);
  const choose = (id: string | null, called: string): void =>
    change('Choose the lifter', (review) => {
      review.lifterId = id;
      if (called) review.lifter.name = called;
    });
  return (
    <div className="inline-form">
      <label className="field">
        <span className="label">Lifter</span>
        <select
          value={lifterId ?? ''}
          onChange={({ target }) => {
            const found = list?.find(({ id }) => id === target.value);
            choose(found?.id ?? null, found?.name ?? '');
          }}
        >
          <option value="">Nobody in particular</option>
          {list?.map(({ id, name: called }) => (
            <option key={id} value={id}>
              {called || 'Unnamed lifter'}
            </option>
          ))}
        </select>
      </label>
      {name === null ? (
        <button className="button" onClick={() => setName(lifter.name)}>
          A new lifter
        </button>
      ) : (
        <form
          className="inline"
          onSubmit={(event) => {
            event.preventDefault();
            void startLifter(name.trim()).then((made) => {
              if (made) choose(made.id, made.name);
              setName(null);
            });
          }}
        >
          <label className="field">
            <span className="label">Name</span>
            <input value={name} maxLength={120} onChange={({ target }) => setName(target.value)} />
          </label>
          <button className="button first" disabled={!name.trim()}>
            Keep
          </button>
        </form>
      )}
    </div>
  );
}
