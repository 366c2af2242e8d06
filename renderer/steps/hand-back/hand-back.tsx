import { look, useDesk } from '../../state/store.ts';
import { useLetter } from '../../state/letter.ts';
import { AskForMore } from './ask-for-more.tsx';
import { LetterEditor } from './letter-editor.tsx';
import { MakeIt } from './make-it.tsx';
import './hand-back.css';

/** Everything that will leave, to be read and changed before it does; the film and the page; and a way to ask for more. */
export function HandBack() {
  const ready = useDesk(({ review }) => review!.now.reference !== null && review!.now.today !== null);
  const busy = useDesk((desk) => desk.job !== null);
  const { letter, ask } = useLetter();
  return (
    <div className="hand-back">
      <section className="letter" aria-label="What is written to the lifter">
        <div className="screen-head">
          <h1>Hand back</h1>
          <p className="muted">
            This is all that the page will say. Change any of it, or leave it out; nothing leaves this machine
            until you send the files yourself.
          </p>
        </div>
        {!ready && (
          <p>
            Two clips are needed first.{' '}
            <button className="button" onClick={() => look((draft) => void (draft.place.step = 'Bring in'))}>
              Bring them in
            </button>
          </p>
        )}
        {ready && !letter && (
          <p>
            {busy ? (
              'It is being put together from the review.'
            ) : (
              <button className="button first" onClick={ask}>
                Put it together
              </button>
            )}
          </p>
        )}
        {letter && <LetterEditor letter={letter} />}
      </section>
      <aside className="leaves" aria-label="The film, the page and the message">
        <MakeIt ready={letter !== null} />
        <AskForMore after={!ready || letter !== null} />
      </aside>
    </div>
  );
}
