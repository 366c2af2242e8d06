import { useState } from 'react';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { measureInfo, type MeasureName } from '../../shared-lib/contract/measures.ts';
import type { CueCall, CueNow, Week, Weeks as OverWeeks } from '../../shared-lib/contract/weeks.ts';
import { cueMeasures } from '../../shared-lib/cue/words.ts';
import { bandWords } from '../../shared-lib/page/words.ts';
import { directionWords, measureLabel } from '../../shared-lib/pair/sentences.ts';
import { roomForLetters } from '../charts/room-for-letters.ts';
import { SaveChart } from '../charts/save-chart.tsx';
import { useSize } from '../parts/use-size.ts';
import { shown } from '../steps/line-up/coach/earlier-cues.tsx';
import { WeeksChart } from './weeks-chart.tsx';

const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });

/** What became of every cue, and each measure over the reviews. */
export function Weeks({ lift, weeks, usual, usualState }: OverWeeks & { lift: Lift }) {
  const cued = weeks.flatMap(({ cues }) =>
    cues.flatMap(({ aim }) => (aim.kind === 'measure' ? [aim.measure] : [])),
  );
  const names = [...new Set<MeasureName>([...cued, ...cueMeasures(lift)])].filter((name) =>
    weeks.some(({ measures }) => measures?.[name]),
  );
  const [chosen, setChosen] = useState<MeasureName | null>(null);
  const name = chosen ?? names[0] ?? null;
  const band = usual.find((each) => each.name === name) ?? null;
  const [box, { widthPx }] = useSize<HTMLDivElement>();
  return (
    <>
      <CueStories weeks={weeks} lift={lift} />
      <section aria-label="Over weeks" className="weeks" ref={box}>
        <div className="reviews-head">
          <h2>Over weeks</h2>
          <label className="inline small">
            Measure{' '}
            <select value={name ?? ''} onChange={({ target }) => setChosen(target.value as MeasureName)}>
              {names.map((each) => (
                <option key={each} value={each}>
                  {measureLabel(each, lift)}
                </option>
              ))}
            </select>
          </label>
        </div>
        {name ? (
          widthPx > 0 && (
            <div className="charted">
              <WeeksChart
                weeks={weeks}
                name={name}
                lift={lift}
                band={band}
                widthPx={widthPx}
                heightPx={25 * roomForLetters().letterPx}
              />
              <SaveChart title={`${measureLabel(name, lift)} over the reviews`} />
            </div>
          )
        ) : (
          <p>No review of this lift could be measured yet.</p>
        )}
        {name && (
          <p className="small muted">
            {band
              ? `The grey band, ${bandWords(name, measureInfo[name].unit, band, directionWords(lift))}, is where this lifter’s next ordinary rep like the newest falls with 95 %. ${usualState}`
              : usualState}
          </p>
        )}
        {name && <WeeksTable weeks={weeks} name={name} lift={lift} />}
        {weeks
          .filter(({ trouble, notComparable }) => trouble ?? notComparable)
          .map(({ review, at, trouble, notComparable }) => (
            <p key={review} className="small muted">
              {day.format(new Date(at))}: {trouble ?? `open circle. ${notComparable}`}
            </p>
          ))}
      </section>
    </>
  );
}

/** The chart's figures as they can be read out. */
function WeeksTable({ weeks, name, lift }: { weeks: readonly Week[]; name: MeasureName; lift: Lift }) {
  return (
    <details className="small">
      <summary>The same as a table</summary>
      <table>
        <caption className="unseen">{measureLabel(name, lift)} over the reviews</caption>
        <thead>
          <tr>
            <th scope="col">Review of</th>
            <th scope="col">Load</th>
            <th scope="col">{measureLabel(name, lift)}, 95 %</th>
            <th scope="col">Cues given</th>
          </tr>
        </thead>
        <tbody>
          {weeks.map(({ review, at, loadKg, measures, cues }) => {
            const measure = measures?.[name];
            return (
              <tr key={review}>
                <th scope="row">{day.format(new Date(at))}</th>
                <td>{loadKg === null ? 'not said' : `${loadKg} kg`}</td>
                <td>{measure ? shown(name, measure, lift) : 'not measured'}</td>
                <td>{cues.map(({ text }) => text).join('; ') || '–'}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </details>
  );
}

const endings: Record<CueCall | 'open', string> = {
  took: 'took',
  'not yet': 'not yet',
  'cannot tell': 'cannot tell',
  open: 'given last, not looked at again yet',
};

/** Each cue that was ever given, newest answer first to be read. */
function CueStories({ weeks, lift }: { weeks: readonly Week[]; lift: Lift }) {
  const answers = new Map<string, { answer: CueNow; at: string }>();
  for (const { earlierCues, at } of weeks) {
    for (const answer of earlierCues) answers.set(`${answer.review} ${answer.text}`, { answer, at });
  }
  const given = weeks.flatMap(({ review, at, cues }) =>
    cues.map((cue) => ({ ...cue, at, found: answers.get(`${review} ${cue.text}`) })),
  );
  return (
    <section aria-label="What became of each cue">
      <h2>What became of each cue</h2>
      {given.length === 0 && <p>No cue was given yet.</p>}
      <ul className="stories">
        {given.map(({ text, about, at, found }) => {
          const call = found?.answer.call ?? 'open';
          const { answer } = found ?? {};
          return (
            <li key={`${at} ${text}`}>
              <span className={`call ${call.replaceAll(' ', '-')}`}>{endings[call]}</span>
              <div>
                <strong>{text}</strong>
                <p className="small muted">
                  Given {day.format(new Date(at))} for {about}.
                  {answer?.aim.kind === 'measure' && answer.before && answer.now && found && (
                    <>
                      {' '}
                      Then {shown(answer.aim.measure, answer.before, lift)}; on{' '}
                      {day.format(new Date(found.at))} {shown(answer.aim.measure, answer.now, lift)}.
                    </>
                  )}{' '}
                  {answer?.why}
                </p>
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
