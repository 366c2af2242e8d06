import { mean, median } from 'd3-array';
import { bodyMeasureNames, type BodyMeasureName } from '../../shared-lib/contract/body.ts';
import { bodyTrials } from '../unit/body/rendered-bodies.ts';

/**
 * Prints how far body measures are from rendered lifters' own, by the angle off square, with marks that are exact and
 * marks that are off by a hand's error, the camera off by what its sigmas say; and how often intervals hold the truth.
 */
const scenes = 60;
const offSquareDeg = [0, 10, 20, 30];
/** What a hand's mark is off by in each direction, one sigma, millimetres on the body. */
const markErrorsMm = [0, 5, 8];

/** One foot stands at all events, so that places at one event alone are independent of each other. */
const placedScenes = 240;
/** What the table of places has marks off by, millimetres. */
const placedMm = 5;

const row = (...cells: string[]): void => void process.stdout.write(`| ${cells.join(' | ')} |\n`);
const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
const rms = (errors: readonly number[]): string => Math.sqrt(mean(errors, (e) => e * e)!).toFixed(1);
const isAngle = (name: BodyMeasureName): boolean => name.endsWith('_rad');

for (const markMm of markErrorsMm) {
  const columns = offSquareDeg.map((offDeg) => bodyTrials({ scenes, offDeg, markMm }));
  process.stdout.write(
    `\nmarks off by ${markMm} mm: median / root mean square off; truth held; judged, and root mean square of these\n`,
  );
  row('measure', ...offSquareDeg.map((d) => `${d}°`));
  row('---', ...offSquareDeg.map(() => '---'));
  for (const name of bodyMeasureNames) {
    const perSi = isAngle(name) ? 180 / Math.PI : 100;
    row(
      `${name}, ${isAngle(name) ? 'degrees' : 'cm'}`,
      ...columns.map((all) => {
        const own = all.filter(({ measure }) => measure.name === name);
        const errors = own.map(({ measure, exact }) => Math.abs(measure.value - exact) * perSi);
        const held = mean(own, ({ measure: m, exact }) => Number(exact >= m.lo95 && exact <= m.hi95))!;
        const judged = errors.filter((_, i) => own[i].measure.canJudge);
        const shown = `${median(errors)!.toFixed(1)} / ${rms(errors)}; ${percent(held)}`;
        return `${shown}; ${percent(judged.length / own.length)}${judged.length > 0 ? `, ${rms(judged)}` : ''}`;
      }),
    );
  }
}

process.stdout.write(`\nplace at the start, ${placedScenes} lifters, marks off by ${placedMm} mm\n`);
for (const offDeg of offSquareDeg) {
  const placed = bodyTrials({ scenes: placedScenes, offDeg, markMm: placedMm, only: 'start' }).filter(
    ({ measure }) => measure.name === 'place_m',
  );
  const errors = placed.map(({ measure, exact }) => 100 * Math.abs(measure.value - exact));
  const held = mean(placed, ({ measure: m, exact }) => Number(exact >= m.lo95 && exact <= m.hi95))!;
  const judged = mean(placed, ({ measure }) => Number(measure.canJudge))!;
  row(`${offDeg}°`, `${median(errors)!.toFixed(1)} / ${rms(errors)} cm`, percent(held), percent(judged));
}
