import { useState } from 'react';
import { texts } from '../../../../shared-lib/texts/texts.ts';
import { change, useDesk } from '../../../state/store.ts';
import { noteSeen } from './note-seen.ts';

/** What the coach sees and nothing measures, noted at the moment that is shown. */
export function Observations({ todayS, onShow }: { todayS: number; onShow: (todayS: number) => void }) {
  const { lift, coaching } = useDesk((desk) => desk.review!.now);
  const [text, setText] = useState('');
  const add = (words: string): void => {
    if (words.trim()) noteSeen(words.trim(), todayS);
    setText('');
  };
  return (
    <section className="coach-part" aria-label="What is seen">
      <p className="small muted">
        Noted at the moment shown in today’s clip, {todayS.toFixed(2)} s. The keys 1 to{' '}
        {texts.letter.oftenSeen[lift].length} note them without a click.
      </p>
      <div className="choices">
        {texts.letter.oftenSeen[lift].map((words, i) => (
          <button key={words} className="choice small" onClick={() => add(words)}>
            <kbd>{i + 1}</kbd>&nbsp;{words}
          </button>
        ))}
      </div>
      <form
        className="inline-form"
        onSubmit={(event) => {
          event.preventDefault();
          add(text);
        }}
      >
        <label className="field">
          <span className="label">Something else that is seen</span>
          <input value={text} maxLength={200} onChange={({ target }) => setText(target.value)} />
        </label>
        <button className="button" disabled={!text.trim()}>
          Note it
        </button>
      </form>
      {coaching.observations.length === 0 && <p className="small">Nothing noted yet.</p>}
      <ol className="noted">
        {coaching.observations.map(({ id, text: words, moment }) => (
          <li key={id}>
            <button className="change" onClick={() => onShow(moment.tS)}>
              <span>{words}</span>
              <span className="muted small">{moment.tS.toFixed(2)} s</span>
            </button>
            <button
              className="button bare"
              aria-label={`Take away: ${words}`}
              onClick={() =>
                change('Take an observation away', (review) => {
                  const { coaching: c } = review;
                  c.observations = c.observations.filter((each) => each.id !== id);
                  c.cues = c.cues.filter(
                    ({ aim }) => !(aim.kind === 'observation' && aim.observation === id),
                  );
                })
              }
            >
              ×
            </button>
          </li>
        ))}
      </ol>
    </section>
  );
}
