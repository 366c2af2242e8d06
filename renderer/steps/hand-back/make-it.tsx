import { Label, Radio, RadioGroup } from 'react-aria-components';
import { filmShapeSchema } from '../../../shared-lib/contract/hand-back.ts';
import { change, useDesk } from '../../state/store.ts';
import { makeHandBack, useMade } from '../../state/letter.ts';

const shapes = { landscape: 'Lying, side by side', portrait: 'Upright, one above the other' } as const;
const film = 'side-by-side.mp4';
const page = 'page.html';
/** In a window of its own nothing opens beside it: files are saved instead. */
const opened = window.lockstep ? { download: true } : { target: '_blank', rel: 'noreferrer' };

/** Makes what leaves the coach's machine and shows it. */
export function MakeIt({ ready }: { ready: boolean }) {
  const id = useDesk(({ review }) => review!.now.id);
  const shape = useDesk(({ review }) => review!.now.coaching.handBack.film);
  const busy = useDesk((desk) => desk.job !== null);
  const made = useMade();
  const fileUrl = (name: string): string => `/hand-back/${id}/${name}`;
  const size = (name: string): number => (made?.value.files.find((f) => f.name === name)?.bytes ?? 0) / 1e6;
  return (
    <section aria-labelledby="make-it" className="panel">
      <h2 id="make-it">Film and page</h2>
      <RadioGroup
        className="field"
        value={shape}
        onChange={(value) =>
          change(
            'The film’s shape',
            ({ coaching }) => void (coaching.handBack.film = filmShapeSchema.parse(value)),
          )
        }
      >
        <Label>The film for the phone</Label>
        <div className="choices">
          {filmShapeSchema.options.map((each) => (
            <Radio key={each} value={each} className="choice">
              {shapes[each]}
            </Radio>
          ))}
        </div>
      </RadioGroup>
      <p className="small muted">
        Both reps in step, slowed and held for a breath where a cue is, with the cue written in.
      </p>
      <button className="button first" disabled={!ready || busy} onClick={() => void makeHandBack()}>
        {made ? 'Make them again' : 'Make the film and the page'}
      </button>
      {made && (
        <>
          <video
            key={made.times}
            className={shape}
            controls
            muted
            playsInline
            src={`${fileUrl(film)}?made=${made.times}`}
            aria-label="The film as the lifter gets it"
          />
          <ul className="files">
            {[film, page].map((name) => (
              <li key={name}>
                <a href={fileUrl(name)} {...opened}>
                  {name === film ? 'The film' : 'The page'}
                </a>{' '}
                <span className="muted small">
                  {name}, {size(name).toFixed(1)} MB
                </span>
              </li>
            ))}
          </ul>
          <p className="small">
            They lie in <strong className="path-words">{made.value.folder}</strong>. Send both from there;
            they are best kept together.
          </p>
          <details className="small">
            <summary>The numbers as files</summary>
            <ul>
              {made.value.files
                .filter(({ name }) => name !== film && name !== page)
                .map(({ name, bytes }) => (
                  <li key={name}>
                    <a href={fileUrl(name)} {...opened}>
                      {name}
                    </a>{' '}
                    <span className="muted">{(bytes / 1e6).toFixed(2)} MB</span>
                  </li>
                ))}
            </ul>
          </details>
        </>
      )}
    </section>
  );
}
