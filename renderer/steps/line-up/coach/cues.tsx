import { useEffect, useId, useState } from 'react';
import { mostCues, type CueAim } from '../../../../shared-lib/contract/coaching.ts';
import { aimWords, cueMeasures } from '../../../../shared-lib/cue/words.ts';
import { askLibrary, freshName, useCoaching } from '../../../state/coaching.ts';
import { change, useDesk } from '../../../state/store.ts';
import { EarlierCues } from './earlier-cues.tsx';

/** One to three cues in the coach's words, the main one first, and what became of the last ones. */
export function Cues({ todayS, onShow }: { todayS: number; onShow: (todayS: number) => void }) {
  const review = useDesk((desk) => desk.review!.now);
  const { cues, nothingToChange, tooHeavyToLearn, competition, pain } = review.coaching;
  const seen = (id: string): string =>
    review.coaching.observations.find((each) => each.id === id)?.text ?? 'something seen';
  const said = (aim: CueAim): string =>
    aim.kind === 'measure' ? aimWords(aim, review.lift) : `not seen again: ${seen(aim.observation)}`;
  return (
    <section className="coach-part" aria-label="Cues">
      <EarlierCues />
      <h2>Cues for next time</h2>
      {cues.length === 0 && !nothingToChange && (
        <p className="small">None yet. One is enough; three are the most. The first is the main one.</p>
      )}
      <ol className="noted">
        {cues.map((cue, i) => (
          <li key={cue.id}>
            <button className="change" onClick={() => onShow(cue.moment.tS)}>
              <span>
                <strong>{cue.text}</strong>
                <span className="muted small"> {said(cue.aim)}</span>
              </span>
              <span className="muted small">{i === 0 ? 'main cue' : 'also'}</span>
            </button>
            {i > 0 && (
              <button
                className="button bare"
                onClick={() =>
                  change('Make it the main cue', ({ coaching: c }) => {
                    c.cues = [c.cues[i], ...c.cues.filter((_, k) => k !== i)];
                  })
                }
              >
                Make it the main one
              </button>
            )}
            <button
              className="button bare"
              aria-label={`Take away the cue ${cue.text}`}
              onClick={() =>
                change('Take a cue away', ({ coaching: c }) => {
                  c.cues = c.cues.filter(({ id }) => id !== cue.id);
                })
              }
            >
              ×
            </button>
          </li>
        ))}
      </ol>
      {cues.length < mostCues && <NewCue todayS={todayS} />}
      <label className="field">
        <span className="label">
          What the lifter says hurts, if anything; the page then points to a clinician
        </span>
        <input
          value={pain}
          maxLength={1000}
          onChange={({ target }) => change('What hurts', ({ coaching: c }) => void (c.pain = target.value))}
        />
      </label>
      <div className="ticks">
        <label>
          <input
            type="checkbox"
            checked={nothingToChange}
            disabled={cues.length > 0}
            onChange={({ target }) =>
              change('Nothing to change', ({ coaching: c }) => void (c.nothingToChange = target.checked))
            }
          />{' '}
          Nothing to change: keep it as it is
        </label>
        <label>
          <input
            type="checkbox"
            checked={tooHeavyToLearn}
            onChange={({ target }) =>
              change('Too heavy to learn on', ({ coaching: c }) => void (c.tooHeavyToLearn = target.checked))
            }
          />{' '}
          Too heavy to learn something new on
        </label>
        <label>
          A competition is coming on{' '}
          <input
            type="date"
            value={competition ?? ''}
            onChange={({ target }) =>
              change('Coming competition', ({ coaching: c }) => void (c.competition = target.value || null))
            }
          />
        </label>
      </div>
    </section>
  );
}

/** Words and aim of one more cue; the coach's own earlier words are offered. */
function NewCue({ todayS }: { todayS: number }) {
  const { lift, coaching } = useDesk((desk) => desk.review!.now);
  const library = useCoaching(({ library: kept }) => kept);
  const [text, setText] = useState('');
  const aims: { words: string; aim: CueAim }[] = [
    ...coaching.observations.map(({ id, text: words }) => ({
      words: `Not seen again: ${words}`,
      aim: { kind: 'observation' as const, observation: id },
    })),
    ...cueMeasures(lift).flatMap((measure) =>
      (['less', 'more'] as const).map((wanted) => {
        const aim = { kind: 'measure' as const, measure, wanted };
        return { words: aimWords(aim, lift), aim };
      }),
    ),
  ];
  const [chosen, setChosen] = useState('');
  const list = useId();
  useEffect(() => void askLibrary(), [lift]);
  const aim = aims.find(({ words }) => words === chosen)?.aim;
  return (
    <form
      className="new-cue"
      onSubmit={(event) => {
        event.preventDefault();
        if (!aim || !text.trim()) return;
        change('Give a cue', ({ coaching: c }) => {
          const moment = { side: 'today' as const, tS: todayS };
          c.cues.push({ id: freshName(c.cues), text: text.trim(), aim, moment });
          c.nothingToChange = false;
        });
        setText('');
        setChosen('');
      }}
    >
      <label className="field">
        <span className="label">Your words to the lifter</span>
        <input list={list} value={text} maxLength={300} onChange={({ target }) => setText(target.value)} />
      </label>
      <datalist id={list}>
        {library.map(({ text: words, about, times }) => (
          <option key={words} value={words}>
            {about}, given {times === 1 ? 'once' : `${times} times`}
          </option>
        ))}
      </datalist>
      <label className="field">
        <span className="label">What shall become of what</span>
        <select value={chosen} onChange={({ target }) => setChosen(target.value)}>
          <option value="">Choose</option>
          {aims.map(({ words }) => (
            <option key={words}>{words}</option>
          ))}
        </select>
      </label>
      <button className="button first" disabled={!aim || !text.trim()}>
        Give this cue at {todayS.toFixed(2)} s
      </button>
    </form>
  );
}
