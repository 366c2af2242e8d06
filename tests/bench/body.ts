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

const row = (...cells: string[]): void => void process.stdout.write(`| ${cells.join(' | ')} |\n`);
const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
const isAngle = (name: BodyMeasureName): boolean => name.endsWith('_rad');

for (const markMm of markErrorsMm) {
  const columns = offSquareDeg.map((offDeg) => bodyTrials({ scenes, offDeg, markMm }));
  process.stdout.write(`\nmarks off by ${markMm} mm: median / root mean square off; truth held; judged\n`);
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
        const judged = mean(own, ({ measure }) => Number(measure.canJudge))!;
        const rms = Math.sqrt(mean(errors, (e) => e * e)!);
        return `${median(errors)!.toFixed(1)} / ${rms.toFixed(1)}; ${percent(held)}; ${percent(judged)}`;
      }),
    );
  }
}
