import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import type { RepPlan, SceneSpec } from '../../../demo-data/scene/spec.ts';
import { eventsOf } from '../../../demo-data/truth/events.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import { measureInfo, type MeasureName, type MeasureValues } from '../../../shared-lib/contract/measures.ts';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';

const fineS = 0.001;
/** The exact motion has no noise; the least that keeps thresholds above zero. */
const silent = { syM: 1e-6, svMps: 1e-6 };

/** The measures of a rep, the first unless said otherwise, on its exact motion, between its exact events. */
export function trueMeasures(spec: SceneSpec, rep = 0): MeasureValues {
  const bar = motionOf(spec);
  const states = Array.from({ length: Math.floor(bar.durationS / fineS) }, (_, i) => bar.at(i * fineS));
  const motion: Motion = {
    t0S: 0,
    dtS: fineS,
    xM: Float64Array.from(states, (s) => s.xM),
    yM: Float64Array.from(states, (s) => s.yM),
    vxMps: Float64Array.from(states, (s) => s.vxMps),
    vyMps: Float64Array.from(states, (s) => s.vyMps),
  };
  return measureRep(motion, eventsOf(bar, spec.lift, rep), spec.lift, silent);
}

type Lever = (rep: RepPlan, by: number) => RepPlan;
const drive = (rep: RepPlan, of: (v: number) => number): RepPlan => ({
  ...rep,
  drive: {
    firstPeakMps: of(rep.drive.firstPeakMps),
    slowMps: rep.drive.slowMps === null ? null : of(rep.drive.slowMps),
    secondPeakMps: of(rep.drive.secondPeakMps),
  },
});
const drift: Lever = (rep, by) => ({ ...rep, driftLockoutM: rep.driftLockoutM + by });
const touch: Lever = (rep, by) => ({ ...rep, driftBottomM: rep.driftBottomM + by });
const descent: Lever = (rep, by) => ({ ...rep, descentS: rep.descentS + by });
const bow: Lever = (rep, by) => ({ ...rep, bowM: rep.bowM + by });
const quicker: Lever = (rep, by) => drive(rep, (v) => v * (1 + by));
const slowest: Lever = (rep, by) => ({
  ...rep,
  drive: { ...rep.drive, slowMps: (rep.drive.slowMps ?? 0) + by },
});

/** What of a rep's plan moves a headline measure. */
export const levers: Record<Lift, Partial<Record<MeasureName, Lever>>> = {
  squat: {
    drift_bottom_m: touch,
    drift_lockout_m: drift,
    depth_m: (rep, by) => ({ ...rep, romM: rep.romM + by }),
    descent_s: descent,
    mean_drive_mps: quicker,
    slowest_mps: slowest,
  },
  bench: {
    drift_bottom_m: touch,
    drift_lockout_m: drift,
    descent_s: descent,
    pause_s: (rep, by) => ({ ...rep, pauseS: rep.pauseS + by }),
    bow_m: bow,
    slowest_mps: slowest,
  },
  deadlift: { drift_max_m: bow, mean_drive_mps: quicker, slowest_mps: slowest },
};

export function deltaOf(name: MeasureName, sameCamera: boolean): number {
  return name === 'mean_drive_mps' && sameCamera ? 0.05 : (measureInfo[name].delta ?? NaN);
}

/** The rep with one measure 1.5 delta greater, or less where the drive's slow point leaves room for that alone. */
export function planted(
  lift: Lift,
  rep: RepPlan,
  name: MeasureName,
  sameCamera: boolean,
  specOf: (rep: RepPlan) => SceneSpec,
): RepPlan {
  const lever = levers[lift][name];
  if (!lever) throw new Error(`Nothing moves ${name} of a ${lift}.`);
  const valueOf = (of: RepPlan): number => trueMeasures(specOf(of))[name] ?? NaN;
  const before = valueOf(rep);
  const isDown = name === 'slowest_mps' && (rep.drive.slowMps ?? 0) > 0.12;
  const target = (isDown ? -1.5 : 1.5) * deltaOf(name, sameCamera);
  // Secants; the measures follow their levers nearly in proportion.
  let by = target;
  for (let i = 0; i < 3; i++) {
    const got = valueOf(lever(rep, by)) - before;
    if (!(Math.abs(got) > 1e-4)) break;
    by *= Math.min(2, Math.max(0.5, target / got));
  }
  return lever(rep, by);
}
