import type { Random } from '../scene/random.ts';
import type { DiscSpec } from '../scene/spec.ts';
import type { OrdinaryScene } from './conditions.ts';
import { streamOf } from './streams.ts';

/**
 * The same lift and the same camera in another world: another hall, other equipment, other discs and clothes, and a phone
 * that sharpens, smooths grain and deepens contrast. Nothing is tuned on it.
 */
export function inOtherStyle(seed: number, scene: OrdinaryScene): OrdinaryScene {
  const stream = (name: string): Random => streamOf(seed, `other style: ${name}`);
  const hall = stream('hall');
  const clothes = stream('clothes');
  const phone = stream('phone');
  return {
    ...scene,
    discs: otherDiscs(stream('discs'), scene.discs),
    lifter: {
      ...scene.lifter,
      build: clothes.uniform(1.05, 1.45),
      shirt: clothes.pick(['#c9c2a8', '#d9762b', '#3f8f86', '#6a4c93', '#e6e6e6', '#26262a']),
      shorts: clothes.pick(['#59636b', '#8c2f39', '#d8d8d4', '#101114']),
      shoes: clothes.pick(['#d84a3a', '#1a1a1c', '#8fb7c9', '#f2f0ea']),
    },
    gym: {
      ...scene.gym,
      wall: hall.pick(['concrete', 'tiles', 'panels'] as const),
      wallColour: hall.pick(['#b9b7b1', '#d6d3cb', '#6f7479', '#434a4f', '#a9b4b0']),
      floorColour: hall.pick(['#7c6a55', '#24272a', '#8d8f90', '#4a5a52']),
      rackColour: hall.pick(['#d0d3d6', '#141414', '#7c2d8a', '#c4a13a']),
      padColour: hall.pick(['#101114', '#7d2030', '#4d5a2a']),
      furnishing: 'hall',
      windows: hall.uniform(0, 1) > 0.7,
    },
    film: {
      ...scene.film,
      contrast: phone.uniform(0.15, 0.45),
      sharpen: phone.uniform(0.3, 1),
      grain: 0.7 * scene.film.grain,
      blurPx: scene.film.blurPx * phone.uniform(0.9, 1.3),
      vignette: phone.uniform(0, 0.15),
    },
  };
}

function otherDiscs(random: Random, discs: readonly DiscSpec[]): DiscSpec[] {
  const design = random.pick(['gripped', 'banded'] as const);
  const colour = random.pick(['#1a4fa3', '#b3202a', '#d9a514', '#1d7a46', '#e9e7e0', '#202124']);
  const thicknessM = design === 'banded' ? random.uniform(0.05, 0.09) : random.uniform(0.025, 0.045);
  return discs.map((disc) => ({ ...disc, design, colour, thicknessM }));
}
