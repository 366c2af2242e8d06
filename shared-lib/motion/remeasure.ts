import type { Motion } from '../contract/motion.ts';
import { states, unitS } from './bar-model.ts';
import {
  type DrawKernel,
  drawKernel,
  pairFigures,
  roomOf,
  type SlotRoom,
  stepFigures,
} from './draw-kernel.ts';
import { type Axis, remeasureAxis } from './draw.ts';
import type { Random } from './random.ts';
import { drawSlowError, type SlowErrorSteps } from './slow-error.ts';
import { onBase, type TimeBase } from './time-base.ts';

/** A smoothed motion with all that it is measured again by: of each span both coordinates and how its slow error goes. */
export interface Remeasured {
  spans: readonly { x: Axis; y: Axis; slowSteps: SlowErrorSteps }[];
  base: TimeBase;
}

/**
 * What the smoother makes of the posterior mean when it is measured again with fresh white noise and a slow error. Where
 * compiled code runs, the motion lasts until the next one is measured again.
 *
 * @param slowM one sigma of the slow error, metres
 */
export function remeasure(of: Remeasured, slowM: number, random: Random): Motion {
  const kernel = drawKernel();
  return (kernel && remeasureCompiled(kernel, of, slowM, random)) ?? remeasurePlainly(of, slowM, random);
}

function remeasurePlainly({ spans, base }: Remeasured, slowM: number, random: Random): Motion {
  const again = (axis: Axis, slowSteps: SlowErrorSteps): Float64Array =>
    remeasureAxis(axis, drawSlowError(slowSteps, random), slowM, random);
  return onBase(
    base,
    spans.map(({ x, y, slowSteps }) => ({ x: again(x, slowSteps), y: again(y, slowSteps) })),
  );
}

/** Null where the compiled code has no room for the motion, or where it is not whole. */
function remeasureCompiled(kernel: DrawKernel, of: Remeasured, slowM: number, random: Random): Motion | null {
  const { spans, base } = of;
  if (spans.length !== 1 || base.n > kernel.most) return null;
  const [{ x, y }] = spans;
  const { n } = x.gains.model;
  if (n > kernel.most) return null;
  const isMeasured = (axis: Axis, i: number): boolean => axis.gains.variances[i] < Infinity;
  let measured = 0;
  for (let i = 0; i < n; i++) {
    if (isMeasured(x, i) !== isMeasured(y, i)) return null;
    if (isMeasured(x, i)) measured++;
  }
  const slot = kernel.slotOf(of, (room) => putFigures(of, room));
  const z = random.normals(2 * (2 * n + measured));
  if (z.buffer !== kernel.normals.buffer) kernel.normals.set(z);
  kernel.run.drawRemeasured(slot, n, measured, slowM, x.scaleM, y.scaleM);
  const room = roomOf(kernel.motionIn, base.n);
  let first = 0;
  while (first < base.n && base.segment[first] < 0) first++;
  let end = first;
  while (end < base.n && base.segment[end] === 0) end++;
  if (first > 0 || end < base.n)
    for (const values of Object.values(room)) values.fill(NaN, 0, first).fill(NaN, end);
  kernel.run.drawOnBase(slot, first, end - first, unitS);
  return { t0S: base.t0S, dtS: base.dtS, ...room };
}

function putFigures({ spans: [{ x, y, slowSteps }], base }: Remeasured, room: SlotRoom): void {
  const { n, transition: f } = x.gains.model;
  for (let i = 0; i < n; i++) {
    const t = states * states * i;
    const measured = x.gains.variances[i] < Infinity ? 1 : 0;
    const slow = i + 1 < n ? slowSteps.subarray(6 * i, 6 * i + 6) : new Float64Array(6);
    room.steps.set([f[t + 1], f[t + 2], f[t + 15], ...slow, measured], stepFigures * i);
    const figures = [x, y].map(({ mean, gains: { variances, gain, innovation, predicted } }) => [
      mean[states * i],
      Math.sqrt(variances[i]),
      ...gain.subarray(states * i, states * i + states),
      innovation[i],
      // The slow error's own row is not needed.
      ...predicted.subarray(t, t + states * (states - 1)),
    ]);
    figures[0].forEach((figure, k) => room.pairs.set([figure, figures[1][k]], pairFigures * i + 2 * k));
  }
  room.weights.set(base.weights);
  room.samples.set(base.sample);
}
