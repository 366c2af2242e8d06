import type { Truth } from '../../../demo-data/truth/schema.ts';
import type { FollowedClip } from '../../../electron/desk/calibrated-clip.ts';
import { repsOfClip } from '../../../electron/desk/clip-reps.ts';
import { measureNames, type MeasureName, type MeasureValues } from '../../../shared-lib/contract/measures.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { drawRep, emptyDraws, modelRep, type RepModel } from '../../../shared-lib/pair/rep-model.ts';
import { drawSources } from '../../../shared-lib/pair/sources.ts';
import { measuresOf } from '../../../shared-lib/pair/uncertainty.ts';
import type { Judged } from '../../unit/pair/trials.ts';
import { errorParts } from '../error-parts.ts';
import { matched } from '../score-reps.ts';

/** What a clip's size is off by and what is left of its measures' errors where size is known. */
export interface SizeApart {
  /** The diameter that the disc is taken to have, and what its rim makes of it, both against the truth, relative. */
  disc: Judged;
  rim: Judged;
  /** The measures of the rep with lengths as large as they truly are: what trace, up and angle alone make of them. */
  measures: Record<MeasureName, Judged>;
}

/** Null where the rep is not found in the clip with its true lengths. */
export function sizeApart(
  followed: FollowedClip,
  truth: Truth,
  measures: MeasureValues,
  draws: number,
): SizeApart | null {
  const { plane, calibration } = followed;
  const size = 1 + errorParts(followed, truth).scalePct / 100;
  const disc = calibration.discM / truth.disc.diameter_m;
  const real = (lengths: Float64Array): Float64Array => lengths.map((l) => l / size);
  const known = {
    ...plane,
    xM: real(plane.xM),
    yM: real(plane.yM),
    sxM: real(plane.sxM),
    syM: real(plane.syM),
  };
  const { measured, reps } = repsOfClip({ ...followed, plane: known }, truth.lift);
  const [found] = matched(reps, truth.reps);
  if (!found) return null;
  const model = modelRep(measured, reps.indexOf(found.rep));
  const { discDiameter, rimScale, lensScale } = model.sources;
  const stated = measuresOf(model, drawn(withoutSize(model), draws));
  return {
    disc: relative(disc - 1, discDiameter.width, discDiameter.centre),
    rim: relative(size / disc - 1, Math.hypot(rimScale.width, lensScale.width / Math.sqrt(3))),
    measures: Object.fromEntries(
      measureNames.map((name) => [name, { truth: measures[name], stated: stated[name] }]),
    ) as Record<MeasureName, Judged>,
  };
}

/** A relative error beside its stated sigma, and beside the error that is expected the other way. */
const relative = (value: number, sigma: number, centre = 0): Judged => ({
  truth: 0,
  stated: { value, lo95: value + centre - 1.96 * sigma, hi95: value + centre + 1.96 * sigma },
});

function withoutSize(model: RepModel): RepModel {
  const sources = { ...model.sources };
  for (const name of ['discDiameter', 'rimScale', 'lensScale'] as const)
    sources[name] = { ...sources[name], centre: 0, width: 0 };
  return { ...model, sources };
}

function drawn(model: RepModel, draws: number): ReturnType<typeof emptyDraws> {
  const random = seededRandom(1);
  const table = emptyDraws(draws);
  for (let k = 0; k < draws; k++) {
    const values = drawRep(model, drawSources(model.sources, random), random);
    if (values) for (const name of measureNames) table[name][k] = values[name] ?? NaN;
  }
  return table;
}
