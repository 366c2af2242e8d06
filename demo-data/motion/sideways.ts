import type { BarMotion } from './bar-motion.ts';

/** Travel of the bar along its own axis, toward the viewer, metres. */
export interface SidewaysSpec {
  /** At the bottom (squat, bench press), in proportion to how far the bar is below its start. */
  toBottomM: number;
  /** From the first rep's start to the last drive's end, smoothly. */
  toLockoutM: number;
}

/** A bar whose drives begin less than this below its start began at its lowest and sways, as in a deadlift's set. */
const leastDepthM = 0.05;

/** The bar's course with travel out of the bar plane, which a film from the side shows as a change of scale. */
export function movedSideways(bar: BarMotion, { toBottomM, toLockoutM }: SidewaysSpec): BarMotion {
  const moving = bar.spans.filter(({ stage }) => stage.name === 'descent' || stage.name === 'drive');
  const drives = moving.filter(({ stage }) => stage.name === 'drive');
  const [fromS, toS] = [moving[0].fromS, drives[drives.length - 1].toS];
  const startYM = bar.at(fromS).yM;
  const depthM = startYM - Math.min(...drives.map((span) => bar.at(span.fromS).yM));
  return {
    ...bar,
    at(tS) {
      const state = bar.at(tS);
      const s = Math.min(Math.max((tS - fromS) / (toS - fromS), 0), 1);
      const below = depthM > leastDepthM ? (startYM - state.yM) / depthM : 0;
      return { ...state, zM: toBottomM * below + toLockoutM * s * s * (3 - 2 * s) };
    },
  };
}
