import { drawScene, type SceneOverrides } from './draw-scene.ts';
import type { SceneSpec } from './scene/spec.ts';

/**
 * The demo: a bench press practice rep and a heavy single of the same invented lifter at the Harbour Lane Barbell Club,
 * filmed on two days. Three differences are planted: the heavy single touches about 4.5 cm further toward the feet, comes
 * down about 0.9 s slower and is about 0.12 m/s slower at its slowest. Everything else that is called stays clearly
 * inside the difference worth acting on.
 */
export interface DemoClip {
  file: string;
  role: 'reference' | 'today';
  title: string;
  spec: SceneSpec;
}

export const lifter = {
  heightM: 1.76,
  build: 1.16,
  skin: '#c68a63',
  hair: '#2a1c14',
  shorts: '#22252c',
  shoes: '#e8e6e0',
};

const gym = {
  seed: 29,
  wall: 'brick',
  wallColour: '#a59a8f',
  floorColour: '#34363a',
  rackColour: '#23324a',
  padColour: '#1f2227',
  wallBehindM: 3.4,
  windows: true,
} as const;

export const blue = '#2a4a86';
const red = '#8c2a2e';
export const charcoal = '#2b2e33';

export const common = {
  lift: 'bench',
  facing: 'right',
  gym,
} satisfies SceneOverrides;

export const plan = {
  leadS: 0.5,
  unrack: true,
  rerack: true,
  settleS: 1,
  holdS: 0.8,
  tailS: 0.4,
  swayM: 0.001,
};
export const rep = { romM: 0.42, driftLockoutM: 0.002, bowM: -0.016, descentBowM: -0.006 };

export const demoPair: readonly DemoClip[] = [
  {
    file: 'bench-practice.mp4',
    role: 'reference',
    title: 'Practice rep',
    spec: drawScene(101, {
      ...common,
      loadKg: 90,
      discs: [
        { diameterM: 0.45, thicknessM: 0.056, design: 'club', colour: blue },
        { diameterM: 0.45, thicknessM: 0.05, design: 'club', colour: charcoal },
      ],
      lifter: { ...lifter, shirt: '#5d6a5a' },
      plan: { ...plan, spinRadPerM: 0.35 },
      camera: { distanceM: 3.5, heightM: 0.95, aimRightM: 0.12, fieldOfViewRad: 0.95 },
      film: { widthPx: 1280, heightPx: 720, fps: 30, grain: 1.6, crf: 20, preset: 'slow' },
      reps: [
        {
          ...rep,
          descentS: 1.65,
          pauseS: 0.94,
          drive: { firstPeakMps: 0.36, slowMps: 0.3, secondPeakMps: 0.4 },
          driftBottomM: 0.055,
        },
      ],
    }),
  },
  {
    file: 'bench-heavy.mp4',
    role: 'today',
    title: 'Heavy single',
    spec: drawScene(102, {
      ...common,
      loadKg: 107.5,
      discs: [
        { diameterM: 0.45, thicknessM: 0.065, design: 'club', colour: red },
        { diameterM: 0.45, thicknessM: 0.05, design: 'club', colour: charcoal },
        { diameterM: 0.19, thicknessM: 0.019, design: 'iron', colour: '#3a3d42' },
        { diameterM: 0.16, thicknessM: 0.015, design: 'iron', colour: '#3a3d42' },
      ],
      lifter: { ...lifter, shirt: '#2f4a6d' },
      plan: { ...plan, spinRadPerM: -0.3 },
      camera: { distanceM: 3.75, heightM: 1.02, aimRightM: 0.05, fieldOfViewRad: 0.98 },
      film: { widthPx: 1920, heightPx: 1080, fps: 60, grain: 1.4, crf: 23, preset: 'slow' },
      reps: [
        {
          ...rep,
          descentS: 2.74,
          pauseS: 0.85,
          drive: { firstPeakMps: 0.34, slowMps: 0.18, secondPeakMps: 0.36 },
          driftBottomM: 0.1,
          driftLockoutM: 0.004,
        },
      ],
    }),
  },
];
