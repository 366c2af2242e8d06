import type { SceneSpec } from '../scene/spec.ts';
import { startHeightM } from '../scene/build.ts';
import { planStages } from './plan.ts';
import { movedSideways } from './sideways.ts';
import type { BarState, Stage } from './stage.ts';
import { whipped } from './whip.ts';

export interface StagedSpan {
  stage: Stage;
  fromS: number;
  toS: number;
}

/** The bar's near end at any time, exact: real seconds from the first frame, x forward of and y above the floor's origin. */
export interface BarMotion {
  durationS: number;
  spans: StagedSpan[];
  at(tS: number): BarState;
  spanAt(tS: number): StagedSpan;
  /** When the lifter's hands let go of the bar; infinite where they never do. */
  letGoS: number;
}

export function motionOf(spec: SceneSpec): BarMotion {
  let end = 0;
  const spans = planStages(spec).map((stage) => {
    const fromS = end;
    end += stage.durationS;
    return { stage, fromS, toS: end };
  });
  const last = spans[spans.length - 1];
  const spanAt = (tS: number) => spans.find((s) => tS < s.toS) ?? last;
  const sway = spec.plan.swayM;
  // Standing sway is slow, well under 1 Hz, and larger along than up (common practice); phases from the seed.
  const waves = [
    { hz: 0.31, phase: spec.seed * 1.7, x: 0.6, y: 0.08 },
    { hz: 0.73, phase: spec.seed * 2.9, x: 0.4, y: 0.12 },
  ].map((w) => ({ ...w, omega: 2 * Math.PI * w.hz }));
  const rigid: BarMotion = {
    durationS: end,
    spans,
    spanAt,
    letGoS: spans.find((s) => s.stage.name === 'drop')?.fromS ?? Infinity,
    at(tS) {
      const span = spanAt(tS);
      const state = span.stage.at(tS - span.fromS);
      for (const w of waves) {
        const sin = sway * Math.sin(w.omega * tS + w.phase);
        const cos = sway * w.omega * Math.cos(w.omega * tS + w.phase);
        state.xM += w.x * sin;
        state.yM += w.y * sin;
        state.vxMps += w.x * cos;
        state.vyMps += w.y * cos;
      }
      return state;
    },
  };
  const { whipHz, sideways } = spec.plan;
  const floorM = spec.lift === 'deadlift' ? startHeightM('deadlift', spec.lifter) : null;
  const bar = whipHz === undefined ? rigid : whipped(rigid, whipHz, floorM);
  return sideways === undefined ? bar : movedSideways(bar, sideways);
}
