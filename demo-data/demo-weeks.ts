import { blue, charcoal, common, lifter, plan, rep } from './demo-pair.ts';
import { drawScene } from './draw-scene.ts';
import type { SceneSpec } from './scene/spec.ts';

/**
 * The demo's lifter over ten weeks: a work set's first rep in each of four reviews. From the first review two cues stand
 * open: to touch higher, which takes between the second and the third, and to come down quicker, which never does.
 * Everything else stays as it was.
 */
export interface DemoWeek {
  file: string;
  /** Days since the first review. */
  day: number;
  loadKg: number;
  spec: SceneSpec;
}

interface Week {
  week: number;
  loadKg: number;
  driftBottomM: number;
  descentS: number;
  shirt: string;
  camera: { distanceM: number; heightM: number; aimRightM: number };
}

const weeks: readonly Week[] = [
  {
    week: 0,
    loadKg: 100,
    driftBottomM: 0.104,
    descentS: 2.62,
    shirt: '#6b4f57',
    camera: { distanceM: 3.5, heightM: 0.96, aimRightM: 0.1 },
  },
  {
    week: 3,
    loadKg: 100,
    driftBottomM: 0.098,
    descentS: 2.7,
    shirt: '#4b5a66',
    camera: { distanceM: 3.7, heightM: 1, aimRightM: 0.05 },
  },
  {
    week: 6,
    loadKg: 102.5,
    driftBottomM: 0.062,
    descentS: 2.66,
    shirt: '#5d6a5a',
    camera: { distanceM: 3.6, heightM: 0.93, aimRightM: 0.12 },
  },
  {
    week: 10,
    loadKg: 102.5,
    driftBottomM: 0.058,
    descentS: 2.74,
    shirt: '#2f4a6d',
    camera: { distanceM: 3.55, heightM: 0.98, aimRightM: 0.08 },
  },
];

export const demoWeeks: readonly DemoWeek[] = weeks.map(
  ({ week, loadKg, driftBottomM, descentS, shirt, camera }) => ({
    file: `bench-week-${week}.mp4`,
    day: 7 * week,
    loadKg,
    spec: drawScene(110 + week, {
      ...common,
      loadKg,
      discs: [
        { diameterM: 0.45, thicknessM: 0.056, design: 'club', colour: blue },
        { diameterM: 0.45, thicknessM: 0.05, design: 'club', colour: charcoal },
      ],
      lifter: { ...lifter, shirt },
      plan: { ...plan, leadS: 0.3, tailS: 0.2, spinRadPerM: 0.2 },
      camera: { ...camera, fieldOfViewRad: 0.95 },
      film: { widthPx: 960, heightPx: 540, fps: 30, grain: 1, crf: 25, preset: 'slow' },
      reps: [
        {
          ...rep,
          descentS,
          pauseS: 0.9,
          drive: { firstPeakMps: 0.34, slowMps: 0.24, secondPeakMps: 0.38 },
          driftBottomM,
        },
      ],
    }),
  }),
);
