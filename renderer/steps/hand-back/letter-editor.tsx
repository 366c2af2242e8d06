import type { CueMoment, Letter, LetterPart } from '../../../shared-lib/contract/hand-back.ts';
import { letterSections, writtenOf } from '../../../shared-lib/contract/hand-back.ts';
import { mustNotBeSaid } from '../../../shared-lib/hand-back/unsaid.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import { headingOf } from '../../../shared-lib/hand-back/written.ts';
import { bridge, useDesk } from '../../state/store.ts';
import { writeOver } from '../../state/letter.ts';

/** Every text that leaves, in the order in which the lifter reads it. */
export function LetterEditor({ letter }: { letter: Letter }) {
  return letterSections.map((name) => {
    const parts = letter.parts.filter(({ section }) => section === name);
    if (parts.length === 0) return null;
    const id = `letter-${name}`;
    return (
      <section key={name} aria-labelledby={id} className="letter-section">
        <h2 id={id}>{headingOf(name, parts)}</h2>
        <ul>
          {parts.map((part) => (
            <li key={part.key}>
              {part.fixed ? <Fixed part={part} /> : <Editable part={part} />}
              {name === 'mainCue' && part.key === `cue.${part.cue}` && (
                <Moment moment={letter.moments.find(({ cue }) => cue === part.cue)} />
              )}
            </li>
          ))}
        </ul>
      </section>
    );
  });
}

const Fixed = ({ part: { text } }: { part: LetterPart }) => (
  <p className="fixed">
    {text} <span className="muted small">Always goes along.</span>
  </p>
);

function Editable({ part }: { part: LetterPart }) {
  const { key, section, text } = part;
  const said = useDesk(({ review }) => review!.now.coaching.handBack.said);
  const own = said[key];
  const written = own ?? text;
  const isOut = text !== '' && own !== undefined && writtenOf(part, said) === '';
  const reminders = own ? mustNotBeSaid(own) : [];
  const name = text || texts.letter.headings[section];
  if (isOut) {
    return (
      <div className="part out">
        <s>{text}</s>
        <button
          className="button"
          aria-label={`Put it back: ${name}`}
          onClick={() => writeOver(key, null, 'Put a text back')}
        >
          Put it back
        </button>
      </div>
    );
  }
  return (
    <div className="part">
      <textarea
        rows={1}
        aria-label={`Written to the lifter: ${name}`}
        placeholder={text === '' ? 'A line of your own, if you like' : undefined}
        value={written}
        maxLength={4000}
        onChange={({ target }) => writeOver(key, target.value)}
      />
      {text !== '' && (
        <span className="part-tools">
          {own !== undefined && own !== text && (
            <button
              className="button bare small"
              aria-label={`As proposed: ${name}`}
              onClick={() => writeOver(key, null, 'Take the proposed words')}
            >
              As proposed
            </button>
          )}
          <button
            className="button bare small"
            aria-label={`Leave out: ${name}`}
            onClick={() => writeOver(key, '', 'Leave a text out')}
          >
            Leave out
          </button>
        </span>
      )}
      {reminders.length > 0 && (
        <p className="small reminder" role="status">
          This reads like {texts.letter.listed(reminders)}. What goes back says no such thing; please write it
          otherwise.
        </p>
      )}
    </div>
  );
}

/** A cue's moment as the page and the film show it. */
function Moment({ moment }: { moment: CueMoment | undefined }) {
  const review = useDesk((desk) => desk.review!.now);
  if (!moment) return null;
  return (
    <div className="moment">
      {(['reference', 'today'] as const).map((side) => {
        const clip = review[side]?.clip;
        const frame = moment[`${side}Frame`];
        return (
          clip && (
            <figure key={side}>
              <img
                src={bridge.transport.stillUrl(clip.sha256, frame, 480)}
                alt={`${side === 'today' ? 'Today’s rep' : 'The reference rep'} at the cue’s moment`}
              />
              <figcaption className={`small ${side}-word`}>
                <span aria-hidden className={`sign ${side}`} /> {side === 'today' ? 'Today' : 'Reference'},{' '}
                {moment[`${side}S`].toFixed(2)} s
              </figcaption>
            </figure>
          )
        );
      })}
    </div>
  );
}
