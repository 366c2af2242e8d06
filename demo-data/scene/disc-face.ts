import { rulerCentre, type Layout, type PlacedDisc } from './layout.ts';
import type { SceneSpec } from './spec.ts';
import { add, cross, unit, type Vec3 } from './vec.ts';
import type { BarState } from '../motion/stage.ts';

/** A disc's near face: its centre and unit vectors to the right and up in it, and toward the viewer. */
export interface DiscFace {
  centre: Vec3;
  right: Vec3;
  up: Vec3;
  axis: Vec3;
}

/** Turn of the discs on their sleeve at a bar height, counter-clockwise as seen. */
export const discTurnRad = (spec: SceneSpec, yM: number): number =>
  spec.seed * 0.7 + spec.plan.spinRadPerM * yM * (spec.facing === 'right' ? 1 : -1);

/** Where a disc's centre lies off the sleeve's axis, and which way it leans, at a turn; both turn with it. */
export function hang({ disc }: PlacedDisc, turnRad: number): { offset: Vec3; axis: Vec3 } {
  const angle = turnRad + (disc.runOutRad ?? 0);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const runOutM = disc.runOutM ?? 0;
  const lean = disc.wobbleRad ?? 0;
  return { offset: [runOutM * cos, runOutM * sin, 0], axis: unit([lean * cos, lean * sin, 1]) };
}

/** The ruler's face with the bar in a state. */
export function rulerFace(spec: SceneSpec, layout: Layout, bar: Pick<BarState, 'xM' | 'yM'>): DiscFace {
  const { offset, axis } = hang(
    layout.discs.find((d) => d.isRuler)!,
    discTurnRad(spec, bar.yM),
  );
  const right = unit(cross([0, 1, 0], axis));
  return { centre: add(rulerCentre(layout, bar), offset), right, up: cross(axis, right), axis };
}
