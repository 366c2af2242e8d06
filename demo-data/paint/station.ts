import { rackOffset } from '../motion/plan.ts';
import { benchTopM, buildOf, startHeightM } from '../scene/build.ts';
import { barRadiusM, inScene, type Layout } from '../scene/layout.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { box, type Bounds, type Prop } from './prop.ts';
import type { FloorShadow } from './room.ts';

/** What the lifter uses: what stands behind him or under him, and what stands between him and the camera. */
export interface Station {
  behind: Prop[];
  inFront: Prop[];
  shadows: FloorShadow[];
}

/** Half the distance between a rack's uprights, middle to middle. */
const uprightHalfM = 0.57;
const tubeM = 0.06;

export function stationOf(spec: SceneSpec, layout: Layout): Station {
  if (spec.lift === 'deadlift') return { behind: [], inFront: [], shadows: [] };
  const maker = makerOf(layout);
  return spec.lift === 'bench' ? benchStation(spec, layout, maker) : squatStation(spec, layout, maker);
}

type Maker = (
  x: readonly [number, number],
  y: readonly [number, number],
  z: readonly [number, number],
  colour: string,
  k?: number,
) => Prop;

/** Boxes in the lifter's own axes: x forward, z from the bar's middle. */
function makerOf(layout: Layout): Maker {
  return (x, y, z, colour, k = 1) => {
    const a = inScene(layout, x[0], 0, 0)[0];
    const b = inScene(layout, x[1], 0, 0)[0];
    const bounds: Bounds = {
      x: [Math.min(a, b), Math.max(a, b)],
      y,
      z: [z[0] + layout.middleZ, z[1] + layout.middleZ],
    };
    return { z: bounds.z[1], draw: (pen) => box(pen, bounds, colour, k) };
  };
}

/** One upright with its hook for the bar, drawn as one so that the hook stays in front. */
function upright(
  make: Maker,
  x: number,
  z: number,
  topM: number,
  hookX: number,
  hookY: number,
  colour: string,
  k: number,
): Prop {
  const half = tubeM / 2;
  const post = make([x - half, x + half], [0, topM], [z - half, z + half], colour, k);
  const toBar = Math.sign(hookX - x) || 1;
  const reach = Math.abs(hookX - x) + 0.045;
  const hookFrom = x + toBar * half;
  const hookTo = x + toBar * reach;
  const arm = make(
    [Math.min(hookFrom, hookTo), Math.max(hookFrom, hookTo)],
    [hookY - 0.035, hookY - barRadiusM],
    [z - 0.03, z + 0.032],
    '#3b3d42',
    k,
  );
  const lip = make(
    [Math.min(hookTo, hookTo - toBar * 0.014), Math.max(hookTo, hookTo - toBar * 0.014)],
    [hookY - 0.035, hookY + 0.03],
    [z - 0.03, z + 0.034],
    '#3b3d42',
    k,
  );
  const parts = [post, arm, lip];
  // Bolt holes down the front, every 10 cm.
  const holes = Array.from({ length: Math.floor(topM / 0.1) - 1 }, (_, i) =>
    make(
      [x - 0.008, x + 0.008],
      [0.1 * (i + 1) - 0.008, 0.1 * (i + 1) + 0.008],
      [z + half, z + half + 0.001],
      '#08090a',
    ),
  );
  return { z: post.z, draw: (pen) => [...parts, ...holes].forEach((p) => p.draw?.(pen)) };
}

function benchStation(spec: SceneSpec, layout: Layout, make: Maker): Station {
  const { rackColour, padColour } = spec.gym;
  const b = buildOf(spec.lifter);
  const barX = rackOffset.bench.xM;
  const barY = startHeightM('bench', spec.lifter) + rackOffset.bench.yM;
  const postX = barX - 0.075;
  const head = -0.33;
  const foot = Math.max(b.trunk + 0.17, head + 1.2);
  const pad = make([head, foot], [benchTopM - 0.065, benchTopM], [-0.15, 0.15], padColour);
  const under = make(
    [head + 0.03, foot - 0.03],
    [benchTopM - 0.1, benchTopM - 0.065],
    [-0.04, 0.04],
    rackColour,
    0.8,
  );
  const leg = (x: number) => [
    make([x - 0.03, x + 0.03], [0.05, benchTopM - 0.1], [-0.03, 0.03], rackColour, 0.8),
    make([x - 0.03, x + 0.03], [0, 0.05], [-0.27, 0.27], rackColour, 0.8),
  ];
  const rail = (z: number, k: number) =>
    make([postX - 0.35, postX + 0.42], [0, 0.06], [z - 0.03, z + 0.03], rackColour, k);
  const top = barY + 0.13;
  const shadow = (x0: number, x1: number, z: number, halfZM: number, depth: number): FloorShadow => ({
    xM: inScene(layout, (x0 + x1) / 2, 0, 0)[0],
    zM: z + layout.middleZ,
    halfXM: (x1 - x0) / 2 + 0.05,
    halfZM,
    depth,
  });
  return {
    behind: [
      rail(-uprightHalfM, 0.55),
      upright(make, postX, -uprightHalfM, top, barX, barY, rackColour, 0.55),
      make([postX - 0.03, postX + 0.03], [0.1, 0.16], [-uprightHalfM, uprightHalfM], rackColour, 0.6),
      under,
      ...leg(head + 0.14),
      ...leg(foot - 0.2),
      pad,
    ],
    inFront: [rail(uprightHalfM, 1), upright(make, postX, uprightHalfM, top, barX, barY, rackColour, 1)],
    shadows: [
      shadow(head, foot, 0, 0.35, 0.55),
      shadow(foot - 0.3, foot + 0.1, 0.1, 0.5, 0.4),
      shadow(postX - 0.35, postX + 0.42, uprightHalfM, 0.09, 0.7),
      shadow(postX - 0.35, postX + 0.42, -uprightHalfM, 0.09, 0.7),
    ],
  };
}

function squatStation(spec: SceneSpec, layout: Layout, make: Maker): Station {
  const { rackColour } = spec.gym;
  const barX = rackOffset.squat.xM;
  const barY = startHeightM('squat', spec.lifter) + rackOffset.squat.yM;
  const postX = barX + 0.075;
  const rearX = postX + 0.85;
  const top = 2.35;
  const safetyY = startHeightM('squat', spec.lifter) - spec.plan.reps[0].romM - 0.12;
  const arm = (z: number, k: number) =>
    make([postX - 0.72, postX - 0.03], [safetyY - 0.07, safetyY], [z - 0.03, z + 0.03], '#3b3d42', k);
  const rail = (z: number, k: number) =>
    make([postX - 0.5, rearX + 0.03], [0, 0.06], [z - 0.03, z + 0.03], rackColour, k);
  const rear = (z: number, k: number) =>
    make([rearX - 0.03, rearX + 0.03], [0, top], [z - 0.03, z + 0.03], rackColour, k);
  const beam = (z: number, k: number) =>
    make([postX - 0.03, rearX + 0.03], [top - 0.06, top], [z - 0.03, z + 0.03], rackColour, k);
  const shadow = (z: number): FloorShadow => ({
    xM: inScene(layout, (postX + rearX) / 2 - 0.2, 0, 0)[0],
    zM: z + layout.middleZ,
    halfXM: 0.75,
    halfZM: 0.1,
    depth: 0.7,
  });
  const sideParts = (z: number, k: number) => [
    rail(z, k),
    rear(z, k),
    beam(z, k),
    upright(make, postX, z, top, barX, barY, rackColour, k),
    arm(z, k),
  ];
  return {
    behind: [
      ...sideParts(-uprightHalfM, 0.55),
      make([rearX - 0.03, rearX + 0.03], [1.9, 1.96], [-uprightHalfM, uprightHalfM], rackColour, 0.6),
    ],
    inFront: sideParts(uprightHalfM, 1),
    shadows: [shadow(uprightHalfM), shadow(-uprightHalfM)],
  };
}
