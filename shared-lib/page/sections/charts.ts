import { directionWords } from '../../pair/sentences.ts';
import { barAt } from '../charts/bar-path.ts';
import { pathChart } from '../charts/path-chart.ts';
import { driveStartS, velocityChart } from '../charts/velocity-chart.ts';
import { html, type Markup } from '../markup.ts';
import type { PageInput, PageRep, PhaseName } from '../page-input.ts';
import { Quantity, shownUnit } from '../../pair/units.ts';
import { eventWord, forwardSign } from '../words.ts';
import { texts } from '../../texts/texts.ts';

const cm = new Quantity(shownUnit('rom_m', 'm'), null);
const seconds = new Quantity(shownUnit('drive_s', 's'), null);
const mps = new Quantity(shownUnit('mean_drive_mps', 'm/s'), null);

const words = texts.page.path;

/** Where a rep's bar was at its touch or bottom and at lockout, in words. */
function passage(which: 'reference' | 'today', input: PageInput): string {
  const rep = input[which];
  const d = directionWords(input.pair.lift);
  const parts = ['touch', 'bottom', 'lockout'].flatMap((event) => {
    const at = rep.events.find((e) => e.name === event);
    const bar = at && barAt(rep.path, at.tS);
    if (!bar || (event === 'bottom' && rep.events.some((e) => e.name === 'touch'))) return [];
    return [words.at(cm.size(bar.xM), bar.xM < 0 ? d.backward : d.forward, eventWord(event))];
  });
  const short = rep.rep.outcome.kind === 'not completed' ? words[`${which}Short`] : '';
  return parts.length === 0 ? short : words[which](parts) + short;
}

/** How to read the lines, as far as the pair has them. */
function howDrawn(input: PageInput): string {
  const down = [input.reference, input.today].some((rep) => rep.phases.some((p) => p.name === 'descent'));
  return [...(down ? [words.waysDrawn] : []), ...(input.bands.length > 0 ? [words.bandDrawn] : [])].join(' ');
}

export function pathSection(input: PageInput): Markup {
  const finding = passage('reference', input) + passage('today', input);
  const chart = pathChart(
    {
      ...input,
      directions: directionWords(input.pair.lift),
      forward: forwardSign(input.reference.clip.calibration.facing),
    },
    {
      id: 'paths',
      title: words.chart,
      finding: words.fromZero(finding).trim(),
    },
  );
  return html`<section class="path" aria-labelledby="path-heading">
    <h2 id="path-heading">${words.title}</h2>
    <figure>
      ${chart}
      <figcaption>${words.sideways} ${howDrawn(input)} ${finding}</figcaption>
    </figure>
  </section>`;
}

const { velocity } = texts.page;

const phaseLasts = (rep: PageRep, name: PhaseName): number | null => {
  const own = rep.phases.filter((p) => p.name === name);
  return own.length === 0 ? null : own.reduce((sum, p) => sum + p.toS - p.fromS, 0);
};

function phaseTable(input: PageInput): Markup {
  const names = (['descent', 'pause', 'drive'] as const).filter((name) =>
    [input.reference, input.today].some((rep) => phaseLasts(rep, name) !== null),
  );
  const cell = (rep: PageRep, name: PhaseName) => {
    const s = phaseLasts(rep, name);
    if (name === 'drive' && rep.rep.outcome.kind === 'not completed')
      return html`<td>${velocity.notCompleted}</td>`;
    return html`<td>${s === null ? velocity.none : seconds.plain(s)}</td>`;
  };
  return html`<table class="phases">
    <caption>
      ${velocity.lasted}
    </caption>
    <thead>
      <tr>
        <th scope="col">${velocity.phase}</th>
        <th scope="col">${texts.page.sides.reference}</th>
        <th scope="col">${texts.page.sides.today}</th>
      </tr>
    </thead>
    <tbody>
      ${names.map(
        (n) =>
          html`<tr>
            <th scope="row">${texts.measures.phaseTitles[n]}</th>
            ${cell(input.reference, n)}${cell(input.today, n)}
          </tr>`,
      )}
    </tbody>
  </table>`;
}

function drive(rep: PageRep): string {
  const value = (name: 'mean_drive_mps' | 'slowest_mps') => {
    const m = rep.rep.measures[name];
    return m ? mps.plain(m.value) : velocity.notMeasured;
  };
  return velocity.drive(value('mean_drive_mps'), value('slowest_mps'));
}

export function velocitySection(input: PageInput): Markup {
  const finding = velocity.finding(drive(input.reference), drive(input.today));
  const at = (id: string, widthPx: number) =>
    velocityChart(input, { id, title: velocity.chart, finding }, widthPx);
  return html`<section aria-labelledby="velocity-heading">
    <h2 id="velocity-heading">${velocity.title}</h2>
    <figure>
      <div class="narrow-only">${at('velocity-narrow', 360)}</div>
      <div class="wide-only">${at('velocity-wide', 940)}</div>
      <figcaption>${velocity.linedUp} ${finding}</figcaption>
    </figure>
    ${phaseTable(input)}
  </section>`;
}

/** "1.24 s before drive start" of an event that the rep has. */
export function fromDriveStart(rep: PageRep, event: string): string {
  const at = rep.events.find((e) => e.name === event);
  return at ? sinceDriveStart(rep, at.tS) : '';
}

/** The same of any moment, real seconds on the clip's clock. */
export function sinceDriveStart(rep: PageRep, tS: number): string {
  const s = tS - driveStartS(rep);
  if (seconds.rounded(s) === 0) return velocity.atDriveStart;
  return s < 0 ? velocity.before(seconds.size(s)) : velocity.after(seconds.size(s));
}
