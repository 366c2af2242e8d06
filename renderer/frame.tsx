import type { ReactNode } from 'react';
import { steps, type Step } from '../shared-lib/contract/review.ts';
import { AboutProgram } from './parts/about.tsx';
import { AskForLostClip } from './parts/lost-clip.tsx';
import { Help } from './parts/help.tsx';
import { Notices } from './parts/notices.tsx';
import { ProgramMenu } from './parts/program-menu.tsx';
import { change, endSpell, closeReview, doAgain, look, takeBack, useDesk } from './state/store.ts';
import './style/frame.css';

const keptWords = { kept: 'Kept', keeping: 'Keeping…', 'not kept': 'Not kept' } as const;

/** What stands round every screen: the review's name, the five steps, undo, and what is under way. */
export function Frame({ step, children }: { step: Step | null; children: ReactNode }) {
  return (
    <div className="frame" onBlur={endSpell}>
      <header className="bar">
        <button className="button bare" onClick={() => void closeReview()} disabled={step === null}>
          {step === null ? <strong>Lockstep</strong> : '‹ Reviews'}
        </button>
        {step !== null && <Title />}
        {step !== null && <Steps now={step} />}
        <Tools open={step !== null} />
      </header>
      <Notices />
      <AskForLostClip />
      <main className="screen">{children}</main>
    </div>
  );
}

function Title() {
  const title = useDesk((desk) => desk.review?.now.title ?? '');
  return (
    <input
      className="title"
      aria-label="Name of the review"
      placeholder="Name this review"
      value={title}
      maxLength={200}
      onChange={({ target }) => change('Name the review', (review) => void (review.title = target.value))}
    />
  );
}

function Steps({ now }: { now: Step }) {
  return (
    <nav aria-label="Steps" style={{ flex: '1 1 auto' }}>
      <ol className="steps">
        {steps.map((step) => (
          <li key={step}>
            <button
              className="step"
              aria-current={step === now ? 'step' : undefined}
              onClick={() => look((review) => void (review.place.step = step))}
            >
              {step}
            </button>
          </li>
        ))}
      </ol>
    </nav>
  );
}

function Tools({ open }: { open: boolean }) {
  const last = useDesk((desk) => desk.review?.done.at(-1)?.label);
  const next = useDesk((desk) => desk.review?.undone.at(-1)?.label);
  const kept = useDesk((desk) => desk.kept);
  return (
    <div className="tools" style={open ? {} : { marginLeft: 'auto' }}>
      {open && (
        <>
          <span className="muted small" role="status">
            {keptWords[kept]}
          </span>
          <button
            className="button bare"
            disabled={!last}
            onClick={takeBack}
            title={last ? `Take back: ${last}` : ''}
          >
            <span aria-hidden>↶</span>
            <span className="unseen">Take back{last ? `: ${last}` : ''}</span>
          </button>
          <button
            className="button bare"
            disabled={!next}
            onClick={doAgain}
            title={next ? `Do again: ${next}` : ''}
          >
            <span aria-hidden>↷</span>
            <span className="unseen">Do again{next ? `: ${next}` : ''}</span>
          </button>
        </>
      )}
      <ProgramMenu />
      <AboutProgram />
      <Help />
    </div>
  );
}
