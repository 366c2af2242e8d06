import { useState, type ReactNode } from 'react';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import { bridge, tell } from '../state/store.ts';
import './about.css';
import { ClosingDialog } from './closing-dialog.tsx';

type About = OutputOf<'about'>;

/** The program, what it is made of and under which licences, and a report to be read before it is sent. */
export function AboutProgram() {
  const [about, setAbout] = useState<About | null>(null);
  const ask = async (isOpen: boolean): Promise<void> => {
    try {
      setAbout(isOpen ? await bridge.call('about', {}) : null);
    } catch (error) {
      tell(error);
    }
  };
  return (
    <ClosingDialog
      opener="About"
      title={<>Lockstep {about?.version}</>}
      className="about-program"
      isOpen={about !== null}
      onOpenChange={(isOpen) => void ask(isOpen)}
    >
      {about && <What about={about} />}
    </ClosingDialog>
  );
}

function What({ about }: { about: About }) {
  return (
    <>
      <p>
        Puts two filmed reps of a barbell lift in step and says what changed. Everything stays on this
        machine.
      </p>
      <p className="muted small">
        {about.system} · {about.ffmpeg ? `ffmpeg ${about.ffmpeg}` : 'no ffmpeg'}
      </p>
      <Unfolding label="When something went wrong">
        <Report folder={about.logFolder} />
      </Unfolding>
      <Unfolding label={`Licences of the ${about.parts.length} parts`}>
        <ul className="parts">
          {about.parts.map((part) => (
            <li key={`${part.name} ${part.version}`}>
              <Licence {...part} />
            </li>
          ))}
        </ul>
      </Unfolding>
    </>
  );
}

/** What is asked for only when it is unfolded. */
function Unfolding({ label, children }: { label: string; children: ReactNode }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>{label}</summary>
      {isOpen && children}
    </details>
  );
}

function Report({ folder }: { folder: string }) {
  const [text, setText] = useState<string | null>(null);
  const make = async (): Promise<void> => {
    try {
      setText((await bridge.call('report', {})).text);
    } catch (error) {
      tell(error);
    }
  };
  return (
    <>
      <p>
        The log tells what happened to the program, and nothing of lifters or clips. It lies in{' '}
        <code>{folder}</code>. Read the report, then send it yourself if you like: Lockstep sends nothing.
      </p>
      {text === null ? (
        <button className="button" onClick={() => void make()}>
          Show the report
        </button>
      ) : (
        <>
          <textarea className="told" readOnly aria-label="The report" rows={14} value={text} />
          <a
            className="button"
            download="lockstep-report.txt"
            href={`data:text/plain;charset=utf-8,${encodeURIComponent(text)}`}
          >
            Save the report
          </a>
        </>
      )}
    </>
  );
}

function Licence({ name, version, licence }: About['parts'][number]) {
  const [text, setText] = useState<string | null>(null);
  const show = async (): Promise<void> => {
    try {
      setText(text === null ? (await bridge.call('licence', { name, version })).text : null);
    } catch (error) {
      tell(error);
    }
  };
  return (
    <>
      <button className="button bare part" aria-expanded={text !== null} onClick={() => void show()}>
        <span>
          {name} {version}
        </span>
        <span className="muted small">{licence}</span>
      </button>
      {text !== null && (
        <textarea className="told" readOnly aria-label={`Licence of ${name}`} rows={12} value={text} />
      )}
    </>
  );
}
