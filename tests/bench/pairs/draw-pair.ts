import { framed } from '../../../demo-data/random-suite.ts';
import type { Random } from '../../../demo-data/scene/random.ts';
import type { RepPlan, SceneSpec } from '../../../demo-data/scene/spec.ts';
import { streamOf } from '../../../demo-data/suite/streams.ts';
import type { MeasureName } from '../../../shared-lib/contract/measures.ts';
import {
  drawCamera,
  drawDisc,
  drawFilm,
  drawPlan,
  drawPlumbError,
  drawSideways,
  sceneOfLift,
  withDip,
} from './nuisances.ts';
import type { Filmed } from './measured-film.ts';
import { levers, planted } from './plant.ts';

/** How the two clips of a pair were filmed: what decides how much can be told. */
export const filmings = [
  'unmoved camera',
  'cameras apart, plumb line',
  'cameras apart, no plumb line',
] as const;
export type PairFilming = (typeof filmings)[number];

/** Two films of the same lift, the same or with one measure planted. */
export interface PairDraw {
  name: string;
  filming: PairFilming;
  /** The measure that differs by one and a half times what is worth acting on; null where nothing does. */
  changed: MeasureName | null;
  films: [Filmed, Filmed];
}

const firstSeed = 4_000_000;
const lifts = ['squat', 'bench', 'deadlift'] as const;

/** Pair `index`, always the same; nuisances drawn at least as wide as the error model takes them to be. */
export function drawRenderedPair(index: number): PairDraw {
  const seed = firstSeed + 10 * index;
  const stream = (name: string): Random => streamOf(seed, name);
  const lift = lifts[index % 3];
  const filming = filmings[Math.floor(index / 3) % 3];
  const isSame = filming === 'unmoved camera';
  const base = sceneOfLift(seed, lift);
  const rep = { ...base.reps[0], drive: withDip(base.reps[0].drive) };
  const names = Object.keys(levers[lift]) as MeasureName[];
  const changed = Math.floor(index / 9) % 2 === 0 ? null : names[Math.floor(index / 18) % names.length];
  const reps: [RepPlan, RepPlan] = [rep, rep];
  const discs = [0, 1].map((i) => drawDisc(streamOf(seed, `disc ${isSame ? 0 : i}`)));
  const specOf = (i: 0 | 1, of: RepPlan): SceneSpec => {
    const camera = drawCamera(streamOf(seed, `camera ${isSame ? 0 : i}`), base, isSame);
    return framed(seed + i, {
      ...base,
      discs: base.discs.map((d) => ({ ...d, ...discs[i].disc })),
      camera,
      film: drawFilm(streamOf(seed, `film ${isSame ? 0 : i}`), base),
      plan: {
        ...drawPlan(streamOf(seed, `plan ${i}`), base),
        sideways: drawSideways(streamOf(seed, `side ${i}`)),
      },
      reps: [of],
    });
  };
  if (changed) reps[1] = planted(lift, rep, changed, isSame, (of) => specOf(1, of));
  if (stream('order').uniform(0, 1) < 0.5) reps.reverse();
  const first = specOf(0, reps[0]);
  const second = specOf(1, reps[1]);
  const plumb = (i: 0 | 1): number | null =>
    filming === 'cameras apart, plumb line' ? drawPlumbError(streamOf(seed, `plumb ${i}`)) : null;
  const name = `pair-${index}`;
  const filmed = (i: 0 | 1, spec: SceneSpec): Filmed => ({
    name: `${name}-${i}`,
    spec,
    discMm: discs[i].userMm,
    plumbErrorRad: plumb(i),
  });
  // An unmoved camera stands where it stood, whatever the second rep does.
  const films: [Filmed, Filmed] = [
    filmed(0, first),
    filmed(1, isSame ? { ...second, camera: first.camera } : second),
  ];
  return { name, filming, changed, films };
}
