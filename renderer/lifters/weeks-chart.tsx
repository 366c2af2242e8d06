import { extent } from 'd3-array';
import { scaleLinear, scaleUtc } from 'd3-scale';
import { line } from 'd3-shape';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { measureInfo, type MeasureName } from '../../shared-lib/contract/measures.ts';
import type { Week } from '../../shared-lib/contract/weeks.ts';
import { changeEnds } from '../../shared-lib/page/words.ts';
import { directionWords, measureLabel } from '../../shared-lib/pair/sentences.ts';
import { Quantity, shownUnit } from '../../shared-lib/pair/units.ts';
import { shown } from '../steps/line-up/coach/earlier-cues.tsx';

const edge = { left: 64, right: 24, top: 30, bottom: 92 };
const dayMs = 86_400_000;
const date = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short' });

/** One measure over a lifter's reviews with its 95 % bars; cues stand along the time axis where they were given. */
export function WeeksChart({
  weeks,
  name,
  lift,
  widthPx,
  heightPx,
}: {
  weeks: readonly Week[];
  name: MeasureName;
  lift: Lift;
  widthPx: number;
  heightPx: number;
}) {
  const { unit } = measureInfo[name];
  const measured = weeks.flatMap((week) => {
    const measure = week.measures?.[name];
    return measure ? [{ ...week, measure, time: new Date(week.at) }] : [];
  });
  const [from, to] = extent(weeks, ({ at }) => new Date(at).getTime());
  const [low, high] = extent(measured.flatMap(({ measure }) => [measure.lo95, measure.hi95]));
  if (from === undefined || to === undefined || low === undefined || high === undefined) return null;
  const margin = Math.max(dayMs, (to - from) * 0.06);
  const x = scaleUtc([from - margin, to + margin], [edge.left, widthPx - edge.right]);
  const y = scaleLinear([low, high], [heightPx - edge.bottom, edge.top]).nice(5);
  const { perSi, suffix } = shownUnit(name, unit);
  const shownY = scaleLinear(
    y.domain().map((v) => v * perSi),
    y.range(),
  );
  const ticks = shownY.ticks(5);
  const digits = shownY.tickFormat(5);
  const course = line<(typeof measured)[number]>((w) => x(w.time), (w) => y(w.measure.value)).digits(1); // prettier-ignore
  const [less, more] = changeEnds(name, unit, directionWords(lift));
  const quantity = new Quantity(shownUnit(name, unit), null);
  const told = measured.map(({ time, measure }) => `${date.format(time)} ${quantity.plain(measure.value)}`);
  const axisPx = heightPx - edge.bottom;
  return (
    <svg
      className="chart weeks-chart"
      width={widthPx}
      height={heightPx}
      role="img"
      aria-label={`${measureLabel(name, lift)} over ${measured.length} reviews: ${told.join(', ')}`}
    >
      {ticks.map((tick) => (
        <g key={tick}>
          <line
            className="grid"
            x1={edge.left}
            x2={widthPx - edge.right}
            y1={shownY(tick)}
            y2={shownY(tick)}
          />
          <text className="tick end" x={edge.left - 8} y={shownY(tick)}>
            {digits(tick)}
          </text>
        </g>
      ))}
      <text className="word" x={4} y={12}>
        {suffix.trim()}, {more} ↑
      </text>
      <text className="word" x={4} y={axisPx + 18}>
        {less} ↓
      </text>
      <path className="line today" d={course(measured) ?? ''} />
      {measured.map(({ review, time, measure, notComparable, loadKg }) => (
        <g key={review} className="week">
          <title>{`${date.format(time)}${loadKg === null ? '' : `, ${loadKg} kg`}: ${shown(name, measure)}`}</title>
          <line className="bar95" x1={x(time)} x2={x(time)} y1={y(measure.lo95)} y2={y(measure.hi95)} />
          <circle
            className={notComparable ? 'bar today' : 'bar today filled'}
            cx={x(time)}
            cy={y(measure.value)}
            r={5}
          />
          <text className="tick middle" x={x(time)} y={axisPx + 38}>
            {date.format(time)}
          </text>
        </g>
      ))}
      {weeks.map(({ review, at, cues }) => {
        const about = cues.filter(({ aim }) => aim.kind === 'measure' && aim.measure === name);
        if (cues.length === 0) return null;
        const place = x(new Date(at));
        const last = place > widthPx * 0.6;
        return (
          <g key={review} className={about.length > 0 ? 'cue-mark about' : 'cue-mark'}>
            <line x1={place} x2={place} y1={axisPx} y2={axisPx + 26} />
            <path d={`M${place - 5},${axisPx + 54}h10l-5,-7z`} />
            {about.slice(0, 2).map(({ text }, i) => (
              <text
                key={text}
                className={last ? 'word end' : 'word'}
                x={last ? place + 8 : place - 8}
                y={axisPx + 68 + 15 * i}
              >
                {text.length > 48 ? `${text.slice(0, 47)}…` : text}
              </text>
            ))}
          </g>
        );
      })}
    </svg>
  );
}
