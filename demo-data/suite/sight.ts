import { motionOf } from '../motion/bar-motion.ts';
import type { StageName } from '../motion/stage.ts';
import { layoutOf } from '../scene/layout.ts';
import type { Random } from '../scene/random.ts';
import type { LifterSpec, SceneSpec } from '../scene/spec.ts';
import { looks } from '../scene/looks.ts';

/** Real time at a share of a stage of the first rep, or of its drive where it has no such: a bar that is dropped is not let down. */
export function momentOf(spec: SceneSpec, stage: StageName, share: number): number {
  const { spans } = motionOf(spec);
  const spanOf = (name: StageName) => spans.find((s) => s.stage.rep === 0 && s.stage.name === name);
  const { fromS, toS } = spanOf(stage) ?? spanOf('drive')!;
  return fromS + share * (toS - fromS);
}

/** The lifter's own x and the height at a depth on the line from the camera to the disc at a time. */
export function sightAt(spec: SceneSpec, tS: number, zM: number): { xM: number; yM: number } {
  const bar = motionOf(spec).at(tS);
  const { facingSign } = layoutOf(spec);
  const k = zM / spec.camera.zM;
  return {
    xM: bar.xM + k * (facingSign * spec.camera.xM - bar.xM),
    yM: bar.yM + k * (spec.camera.yM - bar.yM),
  };
}

/** Somebody who is not the lifter. */
export function drawLook(random: Random): LifterSpec {
  return {
    heightM: random.uniform(1.6, 1.88),
    build: random.uniform(1, 1.3),
    ...random.pick(looks),
    shirt: random.pick(['#2f4a6d', '#7a2f35', '#2d2f33', '#5d6a5a', '#d8d4cc', '#c9862f']),
    shorts: random.pick(['#1d1f24', '#2b3550', '#3a3a3c', '#6b6f75']),
    shoes: random.pick(['#e8e6e0', '#2a2a2c', '#3c5d8c']),
  };
}
