import type { VelocityCurve } from './velocity-curve.ts';

/** Position and velocity of the bar's near end in the bar plane: x forward, y up; z out of it toward the viewer, where it moves. */
export interface BarState {
  xM: number;
  yM: number;
  zM?: number;
  vxMps: number;
  vyMps: number;
}

export type StageName =
  | 'rest'
  | 'unrack'
  | 'walk out'
  | 'settle'
  | 'descent'
  | 'drop'
  | 'pause'
  | 'drive'
  | 'stall'
  | 'sink back'
  | 'hold'
  | 'walk in'
  | 'rerack';

/** A stretch of time of one kind; `at` takes seconds since its own start. */
export interface Stage {
  name: StageName;
  /** From 0; null outside reps. */
  rep: number | null;
  durationS: number;
  at(tS: number): BarState;
}

type Place = Pick<BarState, 'xM' | 'yM'>;

export function stillStage(name: StageName, rep: number | null, durationS: number, place: Place): Stage {
  return { name, rep, durationS, at: () => ({ ...place, vxMps: 0, vyMps: 0 }) };
}

/** From one place to another along a minimum-jerk course (Flash and Hogan, J. Neurosci. 5, 1985; from memory). */
export function carryStage(name: StageName, durationS: number, from: Place, to: Place): Stage {
  return {
    name,
    rep: null,
    durationS,
    at(tS) {
      const s = Math.min(Math.max(tS / durationS, 0), 1);
      const k = s ** 3 * (10 + s * (6 * s - 15));
      const rate = (30 * s * s * (1 - s) ** 2) / durationS;
      const dx = to.xM - from.xM;
      const dy = to.yM - from.yM;
      return { xM: from.xM + dx * k, yM: from.yM + dy * k, vxMps: dx * rate, vyMps: dy * rate };
    },
  };
}

/**
 * Up or down with a given course of velocity; x follows from the share of the way covered, u from 0 to 1: a straight
 * line between the two places plus a bow that is greatest, `bowM` across the line, at a third of the height.
 */
export function pressStage(
  name: StageName,
  rep: number,
  curve: VelocityCurve,
  from: Place,
  to: Place,
  bowM: number,
): Stage {
  const dx = to.xM - from.xM;
  const dy = to.yM - from.yM;
  const rising = dy > 0;
  // Deviation is measured across the line: along x it is larger by the line's slant.
  const bowAlongX = bowM * Math.hypot(1, dx / dy);
  return {
    name,
    rep,
    durationS: curve.durationS,
    at(tS) {
      const y = curve.position(tS);
      const vyMps = curve.velocity(tS);
      const u = y / dy;
      const height = rising ? u : 1 - u;
      const bow = 6.75 * height * (1 - height) ** 2;
      const bowRate = 6.75 * (1 - height) * (1 - 3 * height) * (rising ? 1 : -1);
      return {
        xM: from.xM + dx * u + bowAlongX * bow,
        yM: from.yM + y,
        vxMps: ((dx + bowAlongX * bowRate) * vyMps) / dy,
        vyMps,
      };
    },
  };
}
