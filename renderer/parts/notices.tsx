import { dismissTrouble, useDesk } from '../state/store.ts';

/** What is under way and what went wrong, in one line each: on the screen, and in a dialog that covers it. */
export function Notices() {
  const job = useDesk((desk) => desk.job);
  const trouble = useDesk((desk) => desk.trouble);
  return (
    <section aria-label="What is under way">
      {job && (
        <div className="notice">
          <span>{job.label}</span>
          <div
            className="progress"
            role="progressbar"
            aria-label={job.label}
            aria-valuemin={0}
            aria-valuemax={100}
            aria-valuenow={Math.round(100 * job.share)}
          >
            <div style={{ width: `${100 * job.share}%` }} />
          </div>
          <span className="muted small">{Math.round(100 * job.share)} %</span>
          <button className="button push" onClick={job.stop}>
            Stop
          </button>
        </div>
      )}
      {trouble && !trouble.lost && (
        <div className="notice" role="alert">
          <span>
            <strong>{trouble.what}</strong> {trouble.advice}
          </span>
          <button className="button push" onClick={dismissTrouble}>
            Close
          </button>
        </div>
      )}
    </section>
  );
}
