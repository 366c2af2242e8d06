import { useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { bringInLifter, leaveLifters, openLifter, startLifter, useLifters } from '../state/lifters.ts';
import { LifterPage } from './lifter-page.tsx';
import './lifters.css';

/** Every lifter, found by name; one lifter's own page where one is open. */
export function LiftersScreen() {
  const { list, open } = useLifters();
  const [wanted, setWanted] = useState('');
  if (open) return <LifterPage lifter={open} />;
  const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
  const found = list?.filter(({ name, federation, notes }) => {
    const said = `${name} ${federation} ${notes}`.toLowerCase();
    return words.every((word) => said.includes(word));
  });
  const start = async (): Promise<void> => {
    const made = await startLifter(wanted.trim() || 'New lifter');
    if (made) await openLifter(made.id);
  };
  return (
    <div className="column">
      <div className="reviews-head">
        <h1>Lifters</h1>
        <button className="button" onClick={leaveLifters}>
          Reviews
        </button>
        <FileTrigger
          acceptedFileTypes={['.zip', 'application/zip']}
          onSelect={(files) => files?.[0] && void bringInLifter(files[0])}
        >
          <Button className="button">Bring in a lifter</Button>
        </FileTrigger>
        <button className="button first" onClick={() => void start()}>
          New lifter
        </button>
      </div>
      <label className="field">
        <span className="label">Find by name, federation or notes</span>
        <input type="search" value={wanted} onChange={({ target }) => setWanted(target.value)} />
      </label>
      {list?.length === 0 && (
        <p>
          Nobody here yet. A lifter keeps reviews together, knows which reps are usual, and shows what became
          of each cue.
        </p>
      )}
      {list !== null && list.length > 0 && found?.length === 0 && (
        <p>No lifter’s name, federation or notes hold that.</p>
      )}
      <ul className="reviews">
        {found?.map(({ id, name, reviews, usualReps, trouble }) => (
          <li key={id} className="review-row">
            <button className="review-open" disabled={trouble !== null} onClick={() => void openLifter(id)}>
              <strong>{name || 'Unnamed lifter'}</strong>
              <span className="muted small">
                {trouble ??
                  `${reviews === 1 ? 'one review' : `${reviews} reviews`}, ${usualReps === 1 ? 'one usual rep' : `${usualReps} usual reps`}`}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
