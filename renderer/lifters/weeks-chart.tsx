import { extent } from 'd3-array';
import { scaleLinear, scaleUtc } from 'd3-scale';
import { line } from 'd3-shape';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { measureInfo, type MeasureName } from '../../shared-lib/contract/measures.ts';
import type { Week } from '../../shared-lib/contract/weeks.ts';
import { bandWords, changeEnds } from '../../shared-lib/page/words.ts';
import { directionWords, measureLabel } from '../../shared-lib/pair/sentences.ts';
import { Quantity, shownUnit } from '../../shared-lib/pair/units.ts';
import { roomForLetters } from '../charts/room-for-letters.ts';
import { shown } from '../steps/line-up/coach/earlier-cues.tsx';

/** Room round what is drawn, by the size of letters. */
const edges = { left: 5.33, right: 2, top: 2.5, bottom: 4.67 };
const rowHeight = 1.33;
/** Dates nearer than this would stand on each other. */
const dateWidth = 4.83;
/** Of a letter of a cue's words, generous. */
const letterWidth = 0.58;
const dayMs = 86_400_000;
const date = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short' });

/** One measure over a lifter's reviews with its 95 % bars; cues stand along the time axis where they were given. */
export function WeeksChart({
  weeks,
  name,
  lift,
  band,
  widthPx,
  heightPx,
}: {
  weeks: readonly Week[];
  name: MeasureName;
  lift: Lift;
  /** Where the next ordinary rep falls with 95 %, SI; null where too few are marked as usual. */
  band: { lo95: number; hi95: number } | null;
  widthPx: number;
  heightPx: number;
}) {
  const { unit } = measureInfo[name];
  const { letterPx: em } = roomForLetters();
  const edge = {
    left: edges.left * em,
    right: edges.right * em,
    top: edges.top * em,
    bottom: edges.bottom * em,
  };
  const letterPx = letterWidth * em;
  const measured = weeks.flatMap((week) => {
    const measure = week.measures?.[name];
    return measure ? [{ ...week, measure, time: new Date(week.at) }] : [];
  });
  const [from, to] = extent(weeks, ({ at }) => new Date(at).getTime());
  const [low, high] = extent([
    ...measured.flatMap(({ measure }) => [measure.lo95, measure.hi95]),
    ...(band ? [band.lo95, band.hi95] : []),
  ]);
  if (from === undefined || to === undefined || low === undefined || high === undefined) return null;
  const margin = Math.max(dayMs, (to - from) * 0.06);
  const x = scaleUtc([from - margin, to + margin], [edge.left, widthPx - edge.right]);
  const labels = weeks.flatMap(({ review, at, cues }) =>
    cues
      .filter(({ aim }) => aim.kind === 'measure' && aim.measure === name)
      .map(({ text }) => {
        const atPx = x(new Date(at));
        const isEnd = atPx > widthPx * 0.6;
        const most = Math.floor(((isEnd ? atPx : widthPx - atPx) - 12) / letterPx);
        return { review, text: text.length > most ? `${text.slice(0, most - 1)}…` : text, atPx, isEnd };
      }),
  );
  const rows = rowsFor(
    labels.map(({ text, atPx, isEnd }): [number, number] =>
      isEnd ? [atPx - letterPx * text.length, atPx] : [atPx, atPx + letterPx * text.length],
    ),
    letterPx,
  );
  const underPx = edge.bottom + rowHeight * em * (Math.max(-1, ...rows) + 1);
  const dated = new Set<string>();
  measured.reduce((lastPx, { review, time }) => {
    if (x(time) - lastPx < dateWidth * em) return lastPx;
    dated.add(review);
    return x(time);
  }, -Infinity);
  const y = scaleLinear([low, high], [heightPx - underPx, edge.top]).nice(5);
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
  const usually = band ? `; usual ${bandWords(name, unit, band, directionWords(lift))}` : '';
  const axisPx = heightPx - underPx;
  return (
    <svg
      className="chart weeks-chart"
      width={widthPx}
      height={heightPx}
      role="img"
      aria-label={`${measureLabel(name, lift)} over ${measured.length} reviews: ${told.join(', ')}${usually}`}
    >
      {band && (
        <rect
          className="usual-band"
          x={edge.left}
          width={widthPx - edge.left - edge.right}
          y={y(band.hi95)}
          height={y(band.lo95) - y(band.hi95)}
        />
      )}
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
      <text className="word" x={4} y={em}>
        {suffix.trim()}: {more} is up, {less} is down
      </text>
      <path className="line today" d={course(measured) ?? ''} />
      {measured.map(({ review, time, measure, notComparable, loadKg }) => (
        <g key={review} className="week">
          <title>{`${date.format(time)}${loadKg === null ? '' : `, ${loadKg} kg`}: ${shown(name, measure, lift)}`}</title>
          <line className="bar95" x1={x(time)} x2={x(time)} y1={y(measure.lo95)} y2={y(measure.hi95)} />
          <circle
            className={notComparable ? 'bar today' : 'bar today filled'}
            cx={x(time)}
            cy={y(measure.value)}
            r={5}
          />
          {dated.has(review) && (
            <text className="tick middle" x={x(time)} y={axisPx + 1.67 * em}>
              {date.format(time)}
            </text>
          )}
        </g>
      ))}
      {weeks.map(({ review, at, cues }) => {
        if (cues.length === 0) return null;
        const isAbout = labels.some((label) => label.review === review);
        const place = x(new Date(at));
        return (
          <g key={review} className={isAbout ? 'cue-mark about' : 'cue-mark'}>
            <line x1={place} x2={place} y1={axisPx} y2={axisPx + 8} />
            <path d={`M${place - 5},${axisPx + 3.17 * em}h10l-5,-8z`} />
          </g>
        );
      })}
      {labels.map(({ review, text, atPx, isEnd }, i) => (
        <text
          key={`${review} ${text}`}
          className={isEnd ? 'word end' : 'word'}
          x={isEnd ? atPx + 6 : atPx - 6}
          y={axisPx + (4.5 + rowHeight * rows[i]) * em}
        >
          {text}
        </text>
      ))}
    </svg>
  );
}

/** For each stretch the first row in which it stands on no other. */
function rowsFor(stretches: readonly (readonly [fromPx: number, toPx: number])[], apartPx: number): number[] {
  const ends: number[] = [];
  return stretches.map(([fromPx, toPx]) => {
    const free = ends.findIndex((endPx) => endPx + apartPx < fromPx);
    const row = free < 0 ? ends.length : free;
    ends[row] = toPx;
    return row;
  });
}
