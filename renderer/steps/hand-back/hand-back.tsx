import { useState } from 'react';
import type { OutputOf } from '../../../shared-lib/contract/desk.ts';
import { bridge, keepNow, look, run, useDesk } from '../../state/store.ts';

/** Makes what leaves the coach's machine and says where it lies. */
export function HandBack() {
  const review = useDesk((desk) => desk.review!.now);
  const busy = useDesk((desk) => desk.job !== null);
  const [made, setMade] = useState<OutputOf<'handBack'> | null>(null);
  const ready = review.reference !== null && review.today !== null;
  const make = async (): Promise<void> => {
    await keepNow();
    const done = await run('Making the film and the page', (job) =>
      bridge.call('handBack', { id: review.id }, job),
    );
    if (done) setMade(done);
  };
  return (
    <div className="column">
      <h1>Hand back</h1>
      <p>A film of both reps in step, a page for the lifter, and the numbers as files.</p>
      {!ready && (
        <p>
          Two clips are needed first.{' '}
          <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
            Bring them in
          </button>
        </p>
      )}
      <div>
        <button className="button first" disabled={!ready || busy} onClick={() => void make()}>
          {made ? 'Make them again' : 'Make the film and the page'}
        </button>
      </div>
      {made && (
        <>
          <p>
            They are in <strong>{made.folder}</strong>
          </p>
          <ul>
            {made.files.map(({ name, bytes }) => (
              <li key={name}>
                <a href={`/hand-back/${review.id}/${name}`} target="_blank" rel="noreferrer">
                  {name}
                </a>{' '}
                <span className="muted small">{(bytes / 1e6).toFixed(2)} MB</span>
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}
