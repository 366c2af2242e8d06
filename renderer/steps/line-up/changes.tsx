import type { LineUp } from '../../../shared-lib/contract/line-up.ts';
import type { ChangeName } from '../../../shared-lib/contract/measures.ts';
import type { Call, Change } from '../../../shared-lib/contract/pair.ts';
import { NotComparable } from '../bring-in/circumstances.tsx';
import { Quantity, shownUnit } from '../../../shared-lib/pair/units.ts';
import { ClipChecks } from './clip-checks.tsx';
import { texts } from '../../../shared-lib/texts/texts.ts';

/** What the calls mean, where they stand. */
const explained: Record<Call, string> = {
  changed: 'beyond this lifter’s ordinary spread, and enough to act on',
  differs: 'these two reps differ, and enough to act on; whether the lifter has changed needs more reps',
  'no clear change': 'any difference is too small to act on',
  'cannot tell': 'the clips do not decide it',
};

/** Moments at which a measure is seen, the first that the rep has. */
const seenAt: Partial<Record<ChangeName, readonly string[]>> = {
  place_start_m: ['start', 'lift-off'],
  drift_bottom_m: ['touch', 'bottom'],
  depth_m: ['bottom'],
  rom_m: ['bottom', 'lockout'],
  descent_s: ['start'],
  pause_s: ['touch', 'drive start'],
  drift_lockout_m: ['lockout'],
  sag_m: ['lockout'],
  slowest_mps: ['slowest point'],
  mean_drive_mps: ['drive start', 'lift-off'],
  bow_m: ['slowest point'],
  drift_max_m: ['slowest point'],
};

/** The headline changes as sentences that lead to their moment; every other measure folded away under them. */
export function Changes({ lineUp, onShow }: { lineUp: LineUp; onShow: (referenceS: number) => void }) {
  const { events } = lineUp.reference.reps[0];
  const momentOf = (name: string): number | null => {
    const wanted = seenAt[name as ChangeName] ?? [];
    return events.find((event) => wanted.includes(event.name))?.tS ?? null;
  };
  const groups = [...new Set(lineUp.headlines.map(({ call }) => call))].map((call) => ({
    call,
    headlines: lineUp.headlines.filter((each) => each.call === call),
  }));
  return (
    <section className="changes" aria-label="What changed">
      {groups.map(({ call, headlines }) => (
        <section key={call ?? 'none'} className="called">
          {call && (
            <p className="small muted">
              <strong className={`call ${call.replaceAll(' ', '-')}`}>{call}</strong> {explained[call]}
            </p>
          )}
          <ol>
            {headlines.map(({ name, sentence }) => {
              const tS = momentOf(name);
              return (
                <li key={name}>
                  <button
                    className={`change ${call?.replaceAll(' ', '-') ?? ''}`}
                    disabled={tS === null}
                    onClick={() => tS !== null && onShow(tS)}
                  >
                    {sentence}
                  </button>
                </li>
              );
            })}
          </ol>
        </section>
      ))}
      <NotComparable />
      {lineUp.pair.notes.map((note) => (
        <p key={note} className="small">
          {note}
        </p>
      ))}
      <ClipChecks lineUp={lineUp} />
      <details>
        <summary>All measures</summary>
        <table className="small">
          <thead>
            <tr>
              <th>Measure</th>
              <th>Reference</th>
              <th>Today</th>
              <th>Change</th>
            </tr>
          </thead>
          <tbody>
            {lineUp.pair.changes.map((change) => (
              <MeasureRow key={change.name} change={change} />
            ))}
          </tbody>
        </table>
      </details>
    </section>
  );
}

/** One measure in both reps and the difference, each to the digits that its uncertainty carries. */
function MeasureRow({
  change: { name, unit, reference, today, change, lo95, hi95, u95 },
}: {
  change: Change;
}) {
  const quantity = new Quantity(shownUnit(name, unit), u95);
  return (
    <tr>
      <th scope="row">{texts.measures.labels[name as ChangeName] ?? name}</th>
      <td>{reference === null ? '–' : quantity.plain(reference)}</td>
      <td>{today === null ? '–' : quantity.plain(today)}</td>
      <td>
        {change === null ? '–' : quantity.signed(change)}
        {lo95 !== null && hi95 !== null && <span className="muted"> ({quantity.interval(lo95, hi95)})</span>}
      </td>
    </tr>
  );
}
