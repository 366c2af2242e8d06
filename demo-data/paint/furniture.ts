import { randomOf, type Random } from '../scene/random.ts';
import type { DiscDesign, GymSpec } from '../scene/spec.ts';
import type { Vec3 } from '../scene/vec.ts';
import { boxProp, discProp, type Prop } from './prop.ts';
import type { FloorShadow } from './room.ts';

export interface Furniture {
  props: Prop[];
  shadows: FloorShadow[];
}

const discColours = ['#8f2b2f', '#2c4f8f', '#b09a3c', '#23262b', '#3d6b4a', '#2a2d31'];
const designs: DiscDesign[] = ['rubber', 'calibrated', 'iron', 'club'];

type Kind = (gym: GymSpec, x: number, z: number, random: Random, seed: number) => Furniture;

/** Other equipment along the wall and the sides, placed by the seed; nothing stands in the lifter's own depth. */
export function furnish(gym: GymSpec): Furniture {
  const { seed } = gym;
  const random = randomOf(seed ^ 0x5eed);
  const backZ = -gym.wallBehindM + 0.45;
  const places = [-2.7, -1.75, 1.75, 2.75].map((x) => x + random.uniform(-0.2, 0.2));
  const kinds = shuffled(gym.furnishing === 'hall' ? hall : equipment, random);
  const made = places.map((x, i) => kinds[i](gym, x, backZ, random, seed + 60 + 7 * i));
  return { props: made.flatMap((m) => m.props), shadows: made.flatMap((m) => m.shadows) };
}

function shuffled<T>(items: T[], random: Random): T[] {
  const left = [...items];
  return items.map(() => left.splice(Math.floor(random.uniform(0, left.length)), 1)[0]);
}

const under = (xM: number, zM: number, halfXM: number, halfZM: number): FloorShadow => ({
  xM,
  zM,
  halfXM: halfXM * 1.15,
  halfZM: halfZM * 1.3,
  depth: 0.65,
});

const plateTree: Kind = (gym, x, z, random, seed) => {
  const pegs: [number, number, number][] = [
    [-0.2, 0.36, 0.45],
    [0.24, 0.36, 0.45],
    [-0.14, 0.8, 0.4],
    [0.18, 0.8, 0.32],
    [0, 1.14, 0.24],
  ];
  const discs = pegs.flatMap(([dx, y, diameterM], i) => {
    const design = random.pick(designs);
    const stack = random.uniform(0, 1) > 0.4 ? 2 : 1;
    return Array.from({ length: stack }, (_, k) =>
      discProp(
        {
          diameterM: k === 0 ? diameterM : diameterM * 0.8,
          thicknessM: 0.05,
          design,
          colour: random.pick(discColours),
        },
        [x + dx, y, z + 0.12 + 0.055 * k],
        seed + i + 10 * k,
        [0, 0, 1],
        0.55,
      ),
    );
  });
  return {
    props: [
      boxProp({ x: [x - 0.03, x + 0.03], y: [0, 1.4], z: [z - 0.03, z + 0.03] }, gym.rackColour, 0.6),
      boxProp({ x: [x - 0.35, x + 0.35], y: [0, 0.06], z: [z - 0.25, z + 0.2] }, gym.rackColour, 0.55),
      ...discs,
    ],
    shadows: [under(x, z, 0.5, 0.35)],
  };
};

const dumbbellShelf: Kind = (gym, x, z, random) => {
  const shelf = (y: number) =>
    boxProp({ x: [x - 0.62, x + 0.62], y: [y, y + 0.05], z: [z - 0.22, z + 0.18] }, gym.rackColour, 0.6);
  const post = (px: number) =>
    boxProp({ x: [px - 0.03, px + 0.03], y: [0, 1.02], z: [z - 0.1, z + 0.1] }, gym.rackColour, 0.55);
  const bell = (px: number, y: number, size: number): Prop[] => [
    boxProp(
      { x: [px - 0.02, px + 0.02], y: [y + size - 0.018, y + size + 0.018], z: [z - 0.12, z + 0.17] },
      '#8b8d92',
      0.5,
    ),
    discProp(
      { diameterM: size * 2, thicknessM: 0.1, design: 'iron', colour: '#1d1f22' },
      [px, y + size, z + 0.2],
      Math.round(px * 50) + 400,
      [0, 0, 1],
      0.6,
    ),
  ];
  const rows = [0.3, 0.66, 0.98].flatMap((y, row) =>
    Array.from({ length: 5 - (row === 2 ? 1 : 0) }, (_, i) =>
      random.uniform(0, 1) < 0.14 ? [] : bell(x - 0.48 + i * 0.24, y + 0.05, 0.09 - 0.018 * row),
    ).flat(),
  );
  return {
    props: [post(x - 0.6), post(x + 0.6), shelf(0.3), shelf(0.66), shelf(0.98), ...rows],
    shadows: [under(x, z, 0.75, 0.4)],
  };
};

const jumpBox: Kind = (_gym, x, z, random) => {
  const h = random.pick([0.51, 0.61]);
  return {
    props: [
      boxProp({ x: [x - 0.37, x + 0.37], y: [0, h], z: [z - 0.2, z + 0.28] }, '#a9865c', 0.55),
      boxProp({ x: [x - 0.07, x + 0.07], y: [h - 0.14, h - 0.1], z: [z + 0.28, z + 0.281] }, '#2a2018', 0.6),
      boxProp({ x: [x - 0.26, x + 0.2], y: [h, h + 0.1], z: [z - 0.1, z + 0.2] }, '#2c4f8f', 0.5),
    ],
    shadows: [under(x, z, 0.5, 0.4)],
  };
};

const leaningDiscs: Kind = (_gym, x, z, random, seed) => ({
  props: Array.from({ length: 4 }, (_, i) => {
    const at: Vec3 = [x - 0.45 + 0.26 * i, 0.222, z + 0.12 + 0.03 * i];
    return discProp(
      { diameterM: 0.45, thicknessM: 0.05, design: random.pick(designs), colour: random.pick(discColours) },
      at,
      seed + i,
      [random.uniform(-0.12, 0.12), 0.2, 1],
      0.5,
    );
  }),
  shadows: [under(x, z + 0.1, 0.65, 0.25)],
});

const emptyRack: Kind = (gym, x, z) => {
  const post = (px: number, pz: number, k: number) =>
    boxProp({ x: [px - 0.035, px + 0.035], y: [0, 2.3], z: [pz - 0.035, pz + 0.035] }, gym.rackColour, k);
  return {
    props: [
      post(x - 0.55, z - 0.3, 0.4),
      post(x + 0.55, z - 0.3, 0.4),
      post(x - 0.55, z + 0.5, 0.6),
      post(x + 0.55, z + 0.5, 0.6),
      boxProp({ x: [x - 0.58, x + 0.58], y: [2.23, 2.3], z: [z + 0.465, z + 0.535] }, gym.rackColour, 0.6),
      boxProp({ x: [x - 1, x + 1], y: [1.34, 1.368], z: [z + 0.56, z + 0.588] }, '#9a9ca0', 0.6),
    ],
    shadows: [under(x - 0.55, z + 0.1, 0.15, 0.6), under(x + 0.55, z + 0.1, 0.15, 0.6)],
  };
};

const pillar: Kind = (gym, x, z) => ({
  props: [boxProp({ x: [x - 0.22, x + 0.22], y: [0, 4], z: [z - 0.2, z + 0.2] }, gym.wallColour, 0.75)],
  shadows: [under(x, z, 0.35, 0.3)],
});

const lockers: Kind = (gym, x, z) => ({
  props: [0, 1, 2, 3].flatMap((i) => {
    const left = x - 0.62 + 0.31 * i;
    const door = boxProp(
      { x: [left, left + 0.3], y: [0.08, 1.82], z: [z - 0.22, z + 0.2] },
      gym.padColour,
      0.7,
    );
    const slots = [1.56, 1.62, 1.68].map((y) =>
      boxProp({ x: [left + 0.08, left + 0.22], y: [y, y + 0.02], z: [z + 0.2, z + 0.201] }, '#0b0c0d', 0.6),
    );
    return [door, ...slots];
  }),
  shadows: [under(x, z, 0.75, 0.35)],
});

const stackedMats: Kind = (_gym, x, z, random) => ({
  props: Array.from({ length: 6 }, (_, i) => {
    const off = random.uniform(-0.05, 0.05);
    const colour = i % 2 === 0 ? '#2c5f63' : '#8a8f94';
    return boxProp(
      { x: [x - 0.7 + off, x + 0.7 + off], y: [0.13 * i, 0.13 * i + 0.12], z: [z - 0.3, z + 0.3] },
      colour,
      0.6,
    );
  }),
  shadows: [under(x, z, 0.85, 0.4)],
});

/** Round weights in two rows on the floor: circles that are no discs on a bar. */
const ballRow: Kind = (_gym, x, z, random, seed) => ({
  props: Array.from({ length: 4 }, (_, i) =>
    discProp(
      {
        diameterM: 0.24 + 0.05 * (i % 2),
        thicknessM: 0.2,
        design: 'plain',
        colour: random.pick(['#1f2022', '#7d2030', '#d9a514', '#3f6f8f']),
      },
      [x - 0.5 + 0.34 * i, 0.14, z + 0.1],
      seed + i,
      [0, 0, 1],
      0.6,
    ),
  ),
  shadows: [under(x, z + 0.1, 0.7, 0.2)],
});

const equipment: Kind[] = [plateTree, dumbbellShelf, jumpBox, leaningDiscs, emptyRack];
const hall: Kind[] = [pillar, lockers, stackedMats, ballRow];
