import type { Lift } from '../contract/lift.ts';
import { noMeasures, type MeasureValues } from '../contract/measures.ts';
import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { descentMeasures } from './descent.ts';
import { driftMeasures } from './drift.ts';
import { driveMeasures } from './drive.ts';
import { holdMeasures } from './hold.ts';
import { repFrame } from './rep-frame.ts';
import { setUpMeasures } from './set-up.ts';
import { stickingPoints } from './sticking.ts';
import type { Noise } from './thresholds.ts';

/** Every measure of one rep, SI; null where it does not exist in this rep or lift. */
export function measureRep(motion: Motion, events: RepEvents, lift: Lift, noise: Noise): MeasureValues {
  const rep = repFrame(motion, events, lift, noise);
  const sticking = stickingPoints(rep).at(0);
  const values = noMeasures();
  for (const some of [descentMeasures, driveMeasures, driftMeasures, setUpMeasures, holdMeasures])
    Object.assign(values, some(rep));
  values.sticking_mps = sticking?.vMps ?? null;
  values.sticking_drop_mps = sticking?.dropMps ?? null;
  values.sticking_height_pct = sticking?.heightPct ?? null;
  values.sticking_s = sticking?.durationS ?? null;
  return values;
}
