import { drawSuiteScene, type SuiteSet } from '../../../demo-data/random-suite.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { suite } from '../../../demo-data/suite.ts';
import type { Truth } from '../../../demo-data/truth/schema.ts';

/** A scene to be measured: plain, so that it can be sent to another process. */
export interface BenchScene {
  name: string;
  spec: SceneSpec;
  conditions: string[];
}

export const fixedScenes = (): BenchScene[] =>
  suite.map(({ name, spec }) => ({ name, spec, conditions: [] }));

/** Scenes `from` to `from + count` of a set, or, of those, the ones whose name or condition is `only`. */
export function randomScenes(set: SuiteSet, from: number, count: number): BenchScene[] {
  return Array.from({ length: count }, (_, k) => drawSuiteScene(set, from + k));
}

/** The same scene in a film of so many bits a pixel; x265 takes ticks for pictures where their times are uneven, and writes next to nothing. */
export function withBits(scene: BenchScene, bitsPerPx: number): BenchScene {
  const { film } = scene.spec;
  const isUneven = film.jitter > 0 || film.dropShare > 0;
  const codec = film.codec === 'libx265' && isUneven ? 'libx264' : film.codec;
  return {
    ...scene,
    name: `${scene.name}-${bitsPerPx}-bits`,
    spec: { ...scene.spec, film: { ...film, bitsPerPx, codec } },
  };
}

export const wanted = ({ name, conditions }: BenchScene, only: string): boolean =>
  name === only || conditions.some((c) => c.includes(only)) || (name.includes(only) && !/^\d+$/.test(only));

/** Which rows of the table a scene counts in. */
export function groupsOf({ spec, conditions }: BenchScene, truth: Truth): string[] {
  const widthPx = truth.disc.diameter_m / truth.disc.metres_per_px;
  const offDeg = Math.abs((truth.camera.off_square_rad * 180) / Math.PI);
  const fps = spec.film.fps * spec.film.slowMotion;
  const isFull = Math.max(spec.film.widthPx, spec.film.heightPx) >= 1920;
  return [
    'all',
    ...(isFull && widthPx >= 150 && offDeg <= 30 ? [targetGroup] : []),
    spec.lift,
    fps <= 30 ? '24-30 fps' : fps <= 60 ? '50-60 fps' : '120-240 fps',
    offDeg <= 8 ? 'within 8° of square' : offDeg <= 25 ? '8-25° off square' : 'over 25° off square',
    widthPx < 150 ? 'disc under 150 px' : widthPx < 250 ? 'disc 150-250 px' : 'disc over 250 px',
    spec.camera.shakePx === 0 ? 'tripod' : spec.camera.shakePx < 2 ? 'shake under 2 px' : 'shake over 2 px',
    ...(conditions.length === 0 ? ['no condition'] : conditions),
  ];
}

/** Discs of at least 150 px in 1080p, at most 30 degrees off square: what the targets are stated for. */
export const targetGroup = 'target population';
