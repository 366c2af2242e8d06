import { drawScene } from './draw-scene.ts';
import { momentsOf } from './render-clip.ts';
import type { SceneSpec } from './scene/spec.ts';
import { conditions, type Condition, type OrdinaryScene } from './suite/conditions.ts';
import { ordinaryScene } from './suite/ordinary.ts';
import { inOtherStyle } from './suite/other-style.ts';
import { logUniform, pickWeighted, streamOf } from './suite/streams.ts';
import { truthOf } from './truth/truth.ts';

/** The measuring is improved on `tuning` alone; nobody looks at the clips of the other two. */
export const suiteSets = ['tuning', 'judging', 'other style'] as const;
export type SuiteSet = (typeof suiteSets)[number];

/** One scene of the random suite. */
export interface SuiteDraw {
  name: string;
  seed: number;
  spec: SceneSpec;
  /** What makes it harder than an ordinary clip: names of conditions. */
  conditions: string[];
}

const firstSeed: Record<SuiteSet, number> = {
  tuning: 1_000_000,
  judging: 2_000_000,
  'other style': 3_000_000,
};

/** Scene `index` (from 0) of a set: always the same, and independent of the others. */
export function drawSuiteScene(set: SuiteSet, index: number): SuiteDraw {
  const seed = firstSeed[set] + index;
  const ordinary = set === 'other style' ? inOtherStyle(seed, ordinaryScene(seed)) : ordinaryScene(seed);
  const chosen = chooseConditions(seed, ordinary);
  const scene = chosen.reduce((s, c) => c.apply(streamOf(seed, `condition ${c.name}`), s), ordinary);
  return {
    name: `${set.replace(' ', '-')}-${index}`,
    seed,
    spec: framed(seed, scene),
    conditions: chosen.map((c) => c.name),
  };
}

/**
 * None to three conditions. Each draws its own lot, u^(1/weight) with u uniform, and the highest win (Efraimidis and
 * Spirakis 2006, weighted sampling without replacement; from memory).
 */
export function chooseConditions(seed: number, scene: OrdinaryScene): Condition[] {
  const count = pickWeighted(streamOf(seed, 'conditions'), [
    [0, 0.3],
    [1, 0.35],
    [2, 0.25],
    [3, 0.1],
  ]);
  const lots = conditions
    .filter((c) => c.fits?.(scene) ?? true)
    .map((c) => ({ c, lot: streamOf(seed, `lot ${c.name}`).uniform(0, 1) ** (1 / c.weight) }))
    .sort((a, b) => b.lot - a.lot);
  const chosen = new Set<Condition>();
  for (const { c } of lots) {
    if (chosen.size === count) break;
    if (![...chosen].some((other) => other.group === c.group)) chosen.add(c);
  }
  return conditions.filter((c) => chosen.has(c));
}

/** Fields of view along the longer side: a phone's wide main lens to its long one. */
const widestRad = (74 * Math.PI) / 180;
const narrowestRad = (18 * Math.PI) / 180;
const discM = 0.45;
const marginPx = 12;

/** The spec with the camera's field of view set for a drawn width of the disc, widened until the disc stays in the picture. */
export function framed(seed: number, scene: OrdinaryScene): SceneSpec {
  const random = streamOf(seed, 'disc width');
  const longerPx = Math.max(scene.film.widthPx, scene.film.heightPx);
  const in1080p = random.uniform(0, 1) < 0.1 ? random.uniform(100, 150) : logUniform(random, 160, 420);
  const wanted = (in1080p * longerPx) / 1920;
  const view = (discPx: number): number =>
    2 * Math.atan((longerPx * discM) / (2 * discPx * scene.camera.distanceM));
  let fieldOfViewRad = Math.min(widestRad, Math.max(narrowestRad, view(wanted)));
  for (;;) {
    const spec = drawScene(seed, { ...scene, camera: { ...scene.camera, fieldOfViewRad } });
    if (fieldOfViewRad >= widestRad || staysWhole(spec)) return spec;
    fieldOfViewRad = Math.min(widestRad, fieldOfViewRad * 1.04);
  }
}

function staysWhole(spec: SceneSpec): boolean {
  const { widthPx, heightPx } = spec.film;
  const moments = momentsOf(spec);
  const step = Math.max(1, Math.floor(moments.length / 60));
  const { frames } = truthOf(
    spec,
    '',
    moments.filter((_, i) => i % step === 0),
  );
  return frames.every(({ rim }) => {
    const reach = rim.a_px + marginPx;
    return rim.x_px > reach && rim.x_px < widthPx - reach && rim.y_px > reach && rim.y_px < heightPx - reach;
  });
}
