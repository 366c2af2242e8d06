import type { ClipCheck, Verdict } from '../../../shared-lib/contract/clip.ts';
import type { LineUp } from '../../../shared-lib/contract/line-up.ts';
import { sideNames } from '../../../shared-lib/contract/review.ts';

const sideWords = { reference: 'Reference', today: 'Today' } as const;
const kindWords: Record<keyof ClipCheck['verdicts'], string> = {
  drift: 'Drift',
  vertical: 'Heights',
  velocity: 'Velocities',
  tempo: 'Durations',
};
const verdictWords: Record<Verdict, string> = {
  good: 'carried',
  poor: 'carried poorly',
  'cannot carry': 'not carried',
};

const figures: readonly [string, (check: ClipCheck) => string][] = [
  ['Off square', (c) => `${c.offSquareDeg.toFixed(0)}° ± ${c.offSquareU95Deg.toFixed(0)}°`],
  ['Roll', (c) => `${Math.abs(c.rollDeg).toFixed(1)}° ± ${c.rollU95Deg.toFixed(1)}°`],
  ['Shake', (c) => `${c.shakePx.toFixed(1)} px`],
  ['Frames a second', (c) => c.fps.toFixed(1)],
  ['Disc across', (c) => `${c.discDiameterPx.toFixed(0)} px`],
  ['Hidden in the reps', (c) => `${(100 * c.hiddenShare).toFixed(0)} %`],
];

/** What the two clips can carry, side by side, and how to film them better. */
export function ClipChecks({ lineUp }: { lineUp: LineUp }) {
  const checks = { reference: lineUp.reference.clip.check, today: lineUp.today.clip.check };
  const kinds = Object.keys(kindWords) as (keyof ClipCheck['verdicts'])[];
  const worst = sideNames.flatMap((side) =>
    kinds.flatMap((kind) => (checks[side].verdicts[kind] === 'good' ? [] : [{ side, kind }])),
  );
  const said =
    worst.length === 0
      ? 'Both clips carry every kind of measure'
      : `Not everything is carried well: ${[...new Set(worst.map(({ kind }) => kindWords[kind].toLowerCase()))].join(', ')}`;
  return (
    <details className="clip-checks" open={worst.length > 0}>
      <summary>{said}</summary>
      <table className="small">
        <thead>
          <tr>
            <th>Clip</th>
            {sideNames.map((side) => (
              <th key={side}>{sideWords[side]}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {kinds.map((kind) => (
            <tr key={kind}>
              <th scope="row">{kindWords[kind]}</th>
              {sideNames.map((side) => (
                <td key={side}>{verdictWords[checks[side].verdicts[kind]]}</td>
              ))}
            </tr>
          ))}
          {figures.map(([label, show]) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              {sideNames.map((side) => (
                <td key={side}>{show(checks[side])}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {sideNames.map(
        (side) =>
          checks[side].advice.length > 0 && (
            <div key={side} className="small">
              <h3 className={`${side}-word`}>{sideWords[side]}: how to film it better</h3>
              <ul className="advice">
                {checks[side].advice.map((each) => (
                  <li key={each}>{each}</li>
                ))}
              </ul>
            </div>
          ),
      )}
    </details>
  );
}
