import { extent } from 'd3-array';
import { format } from 'd3-format';
import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { type Markup, element } from '../markup.ts';
import type { PageRep, PathBand } from '../page-input.ts';
import { eventWord, type Directions } from '../words.ts';
import { barAt, samplesWithin } from './bar-path.ts';
import { equalAspect, type EqualAspect } from './equal-aspect.ts';
import { type Described, key, picture, type Which } from './figure.ts';
import { spread } from './labels.ts';
import { texts } from '../../texts/texts.ts';

export interface PathChartInput {
  reference: PageRep;
  today: PageRep;
  bands: readonly PathBand[];
  directions: Directions;
  forward: 1 | -1;
}

const widthPx = 360;
const box = { leftPx: 46, topPx: 44, widthPx: 216, heightPx: 440 };
const padM = 0.02;

/** From the start (or lift-off) to lockout: the set-up and the hold are drawn nowhere, they only blur. */
const lifted = (rep: PageRep): [number, number] => {
  const inside = rep.phases.filter((p) => p.name !== 'set-up' && p.name !== 'hold');
  return inside.length === 0 ? [-Infinity, Infinity] : [inside[0].fromS, inside[inside.length - 1].toS];
};

const range = (values: number[]): [number, number] => {
  const [lo, hi] = extent(values.filter(Number.isFinite));
  return lo === undefined || hi === undefined ? [-0.1, 0.1] : [lo - padM, hi + padM];
};

/** The scales of the chart, also for those who lay something over it. */
export function pathScales(input: PathChartInput): EqualAspect {
  const picked = [input.reference, input.today].flatMap((rep) =>
    samplesWithin(rep.path, ...lifted(rep)).map((i) => [rep.path.xM[i], rep.path.yM[i]]),
  );
  return equalAspect(range(picked.map((p) => p[0])), range(picked.map((p) => p[1])), box, input.forward);
}

function track(rep: PageRep, which: Which, s: EqualAspect): Markup {
  const [fromS, toS] = lifted(rep);
  const driveS = rep.phases.find((p) => p.name === 'drive')?.fromS ?? fromS;
  const draw = line<number>((i) => s.x(rep.path.xM[i]), (i) => s.y(rep.path.yM[i])) // prettier-ignore
    .defined((i) => Number.isFinite(rep.path.xM[i] + rep.path.yM[i]))
    .digits(2);
  const part = (a: number, b: number, phase: string) =>
    element('path', { d: draw(samplesWithin(rep.path, a, b)), class: `line ${which} ${phase}` });
  return element('g', {}, driveS > fromS ? part(fromS, driveS, 'down') : null, part(driveS, toS, 'up'));
}

interface Mark {
  names: string[];
  points: { which: Which; x: number; y: number }[];
}

/** Events of both reps at their places; neighbours in time that lie on each other share a label. */
function marks(input: PathChartInput, s: EqualAspect): Mark[] {
  const found: Mark[] = [];
  const names = [...input.reference.events, ...input.today.events].map((e) => e.name);
  for (const name of new Set(names)) {
    const points = (['reference', 'today'] as const).flatMap((which) => {
      const event = input[which].events.find((e) => e.name === name);
      const at = event && barAt(input[which].path, event.tS);
      return at ? [{ which, x: s.x(at.xM), y: s.y(at.yM) }] : [];
    });
    if (points.length === 0) continue;
    const last = found.at(-1);
    const same = last?.points.every((p) => {
      const q = points.find((o) => o.which === p.which);
      return q !== undefined && Math.hypot(q.x - p.x, q.y - p.y) < 9;
    });
    if (last && same) last.names.push(name);
    else found.push({ names: [name], points });
  }
  return found;
}

function markLayer(input: PathChartInput, s: EqualAspect): Markup {
  const all = marks(input, s);
  const lineHeight = 15;
  const wanted = all.map((m) => ({
    yPx: m.points.reduce((sum, p) => sum + p.y, 0) / m.points.length,
    heightPx: m.names.length * lineHeight + 4,
  }));
  const labelX = box.leftPx + box.widthPx + 12;
  const ys = spread(wanted, box.topPx - 8, box.topPx + s.heightPx + 8);
  const leaders = all.flatMap((m, i) =>
    m.points.map((p) =>
      element('path', {
        d: `M${labelX - 4},${ys[i].toFixed(1)}L${p.x.toFixed(1)},${p.y.toFixed(1)}`,
        class: 'leader',
      }),
    ),
  );
  const dots = all.flatMap((m) =>
    m.points.map((p) => element('circle', { cx: p.x, cy: p.y, r: 4.5, class: `marker ${p.which}` })),
  );
  const texts = all.map((m, i) =>
    m.names.map((name, k) =>
      element(
        'text',
        { x: labelX, y: ys[i] + 4 + (k - (m.names.length - 1) / 2) * lineHeight },
        eventWord(name),
      ),
    ),
  );
  return element('g', {}, leaders, dots, texts);
}

function axes(input: PathChartInput, s: EqualAspect): Markup {
  const bottom = box.topPx + s.heightPx;
  const right = box.leftPx + box.widthPx;
  // Ticks are chosen in centimetres so that they fall on round ones.
  const yCm = scaleLinear(s.y.domain().map((v) => v * 100), [0, 1]).ticks(6); // prettier-ignore
  const xCm = scaleLinear(s.x.domain().map((v) => v * 100), [0, 1]).ticks(5); // prettier-ignore
  const whole = format('.0f');
  const rows = yCm.map((cm) => [
    element('path', {
      d: `M${box.leftPx},${s.y(cm / 100).toFixed(1)}H${right}`,
      class: cm === 0 ? 'zero' : 'grid',
    }),
    element('text', { x: box.leftPx - 8, y: s.y(cm / 100) + 4, class: 'end' }, whole(cm)),
  ]);
  const columns = xCm.map((cm) => [
    element('path', {
      d: `M${s.x(cm / 100).toFixed(1)},${box.topPx}V${bottom}`,
      class: cm === 0 ? 'zero' : 'grid',
    }),
    element('text', { x: s.x(cm / 100), y: bottom + 18, class: 'middle' }, whole(Math.abs(cm))),
  ]);
  const { forward, backward } = input.directions;
  const [atLeft, atRight] = input.forward === 1 ? [backward, forward] : [forward, backward];
  return element(
    'g',
    { class: 'axes' },
    rows,
    columns,
    element('text', { x: 4, y: bottom + 38 }, `← ${atLeft}`),
    element('text', { x: right + 50, y: bottom + 38, class: 'end' }, `${atRight} →`),
    element(
      'text',
      { x: box.leftPx + box.widthPx / 2, y: bottom + 56, class: 'middle' },
      texts.page.path.fromStart,
    ),
    element('text', { x: 4, y: box.topPx - 12 }, texts.page.path.height),
  );
}

/** Both bar paths from their own starts on one scale; descent thin, drive thick; events named at the right. */
export function pathChart(input: PathChartInput, described: Described): Markup {
  const s = pathScales(input);
  const bandShape = (b: PathBand) =>
    area<number>()
      .y((i) => s.y(b.yM[i]))
      .x0((i) => s.x(b.loXM[i]))
      .x1((i) => s.x(b.hiXM[i]))
      .digits(2)(b.yM.map((_, i) => i));
  return picture(
    described,
    widthPx,
    box.topPx + s.heightPx + 64,
    'path-chart',
    key(box.leftPx + 60, 14),
    axes(input, s),
    input.bands.map((b) => element('path', { d: bandShape(b), class: 'band' })),
    track(input.reference, 'reference', s),
    track(input.today, 'today', s),
    markLayer(input, s),
  );
}
