import { Radio, RadioGroup } from 'react-aria-components';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { MeasuredSide } from '../../../shared-lib/contract/line-up.ts';
import { measureInfo, measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { change, useDesk } from '../../state/store.ts';
import { directionWords } from '../../../shared-lib/pair/sentences.ts';
import { setEvent } from './height-chart.tsx';
import { texts } from '../../../shared-lib/texts/texts.ts';

/** Measures that an event's place decides, shown first; the rest is folded away. */
const first: readonly MeasureName[] = [
  'rom_m',
  'descent_s',
  'pause_s',
  'drive_s',
  'mean_drive_mps',
  'peak_drive_mps',
  'slowest_mps',
  'drift_bottom_m',
  'drift_lockout_m',
  'bow_m',
];

/** The reps of a clip to choose from, the chosen one's events and its measures. */
export function RepPanel({
  measured,
  rep,
  name,
  onGo,
}: {
  measured: MeasuredSide | null;
  rep: number;
  name: SideName;
  onGo: (tS: number) => void;
}) {
  if (!measured) return <p className="muted rep-panel">Measuring the reps…</p>;
  const shown = measured.reps[rep - 1];
  const rest = measureNames.filter((each) => !first.includes(each));
  return (
    <aside className="rep-panel" aria-label="Reps and measures">
      <h2>{measured.reps.length === 1 ? 'One rep' : `${measured.reps.length} reps`}</h2>
      {measured.reps.length > 1 && (
        <RadioGroup
          aria-label="Rep that is compared"
          value={String(rep)}
          onChange={(value) => change('Choose the rep', (review) => void (review[name]!.rep = Number(value)))}
        >
          <div className="choices">
            {measured.reps.map((each, i) => (
              <Radio key={i} value={String(i + 1)} className="choice">
                {i + 1}
                <span className="small">
                  {each.outcome.kind === 'completed'
                    ? ''
                    : ` · stopped ${(100 * each.outcome.shortM).toFixed(0)} cm short`}
                </span>
              </Radio>
            ))}
          </div>
        </RadioGroup>
      )}
      {shown && (
        <>
          <h3>Events</h3>
          <table>
            <tbody>
              {shown.events.map(({ event, tS, foundS, byHand, hidden }) => (
                <tr key={event}>
                  <th scope="row">
                    <button className="button bare" onClick={() => onGo(tS)}>
                      {event}
                    </button>
                  </th>
                  <td data-event={event}>{tS.toFixed(2)} s</td>
                  <td>
                    {hidden && !byHand && (
                      <span className="muted small" title="The disc was not seen then">
                        not seen, a guess
                      </span>
                    )}
                    {byHand && (
                      <button
                        className="button bare change-it small"
                        title={`Found at ${foundS.toFixed(2)} s`}
                        aria-label={`Put the ${event} back to ${foundS.toFixed(2)} s`}
                        onClick={() => setEvent(name, rep, event, null)}
                      >
                        by hand, put back
                      </button>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <h3>Measures</h3>
          <Measures values={shown.values} names={first} />
          <details>
            <summary>All measures</summary>
            <Measures values={shown.values} names={rest} />
          </details>
          <p className="small muted">Intervals come with the comparison, on Line up.</p>
        </>
      )}
      {measured.check.advice.length > 0 && (
        <>
          <h3>How to film it better</h3>
          <ul className="advice small">
            {measured.check.advice.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </>
      )}
    </aside>
  );
}

function Measures({
  values,
  names,
}: {
  values: MeasuredSide['reps'][number]['values'];
  names: readonly MeasureName[];
}) {
  const lift = useDesk((desk) => desk.review!.now.lift);
  const rows = names.flatMap((each) => {
    const value = values[each];
    return value === null || value === undefined ? [] : [{ each, value }];
  });
  return (
    <table>
      <tbody>
        {rows.map(({ each, value }) => (
          <tr key={each}>
            <th scope="row">{texts.measures.labels[each]}</th>
            <td data-measure={each}>{shownValue(each, value, lift)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Measures that lie across the bar's way: their direction is said in words. */
const acrossMeasures: ReadonlySet<MeasureName> = new Set([
  'drift_bottom_m',
  'drift_lockout_m',
  'drift_max_m',
  'drift_min_m',
  'bow_m',
]);

function shownValue(name: MeasureName, value: number, lift: Lift): string {
  if (acrossMeasures.has(name)) {
    const { forward, backward } = directionWords(lift);
    const cm = Math.abs(100 * value).toFixed(1);
    return cm === '0.0' ? '0.0 cm' : `${cm} cm ${value > 0 ? forward : backward}`;
  }
  switch (measureInfo[name].unit) {
    case 'm':
      return `${(100 * value).toFixed(1)} cm`;
    case 's':
      return `${value.toFixed(2)} s`;
    case 'm/s':
      return `${value.toFixed(2)} m/s`;
    case 'rad':
      return `${((180 * value) / Math.PI).toFixed(0)}°`;
    case '%':
      return `${value.toFixed(0)} %`;
    case '1':
      return value.toFixed(0);
  }
}
