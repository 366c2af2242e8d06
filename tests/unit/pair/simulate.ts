import type { Calibration } from '../../../shared-lib/contract/clip.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { Motion, PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import type { MeasureValues } from '../../../shared-lib/contract/measures.ts';
import type { Random } from '../../../shared-lib/motion/random.ts';
import { smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../../shared-lib/motion/smoothing-by-evidence.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import {
  drawPairSources,
  errorSources,
  type Shared,
  type SourceDraw,
} from '../../../shared-lib/pair/sources.ts';
import { findReps } from '../../../shared-lib/rep/find-reps.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';
import { picture } from './clips.ts';
import { noiseOf, type TraceNoise } from './trace-noise.ts';

/** A rep as it truly is. Metres and seconds; drift is forward positive, relative to the start. */
export interface Rep {
  lift: Lift;
  /** The bar is brought to the start from a rack, over this long; 0 where it is there from the beginning. */
  unrackS: number;
  depthM: number;
  descentS: number;
  pauseS: number;
  driveS: number;
  /** How far the drive's speed dips half way, as a share. */
  dip: number;
  bottomX: number;
  lockoutX: number;
  /** Forward belly of the drive's path at half height. */
  bellyX: number;
  sagM: number;
  /** How far the descent's speed dips half way, as a share. */
  hesitation: number;
  /** How gently descent and drive begin and end. */
  descentEnds: Ends;
  driveEnds: Ends;
  /** Sinks during the pause. */
  sinkM: number;
  /** Horizontal sway throughout, amplitude, and its turns a second. */
  swayM: number;
  swayHz: number;
}

/** Powers with which a speed grows with the time from rest, and falls to rest: 2 as in minimum jerk, 1 a step of the acceleration. */
export type Ends = readonly [begin: number, end: number];
const gentle: Ends = [2, 2];

const plain = {
  unrackS: 0,
  hesitation: 0,
  sinkM: 0,
  swayM: 0,
  swayHz: 0.5,
  descentEnds: gentle,
  driveEnds: gentle,
};

export const reps: Record<Lift, Rep> = {
  squat: {
    ...plain,
    lift: 'squat',
    depthM: 0.6,
    descentS: 1.5,
    pauseS: 0,
    driveS: 1.6,
    dip: 0.5,
    bottomX: 0.03,
    lockoutX: -0.01,
    bellyX: 0.01,
    sagM: 0.004,
  },
  bench: {
    ...plain,
    lift: 'bench',
    depthM: 0.35,
    descentS: 1.4,
    pauseS: 0.7,
    driveS: 1.5,
    dip: 0.5,
    bottomX: 0.08,
    lockoutX: 0.005,
    bellyX: -0.02,
    sagM: 0.004,
  },
  deadlift: {
    ...plain,
    lift: 'deadlift',
    depthM: 0.55,
    descentS: 0,
    pauseS: 0,
    driveS: 1.8,
    dip: 0.4,
    bottomX: 0,
    lockoutX: -0.03,
    bellyX: 0.035,
    sagM: 0.012,
  },
};

const restS = 0.9;
const holdS = 1.3;
const fineS = 1 / 960;

/** Share of the way done under minimum jerk (Flash & Hogan 1985). */
const minimumJerk = (s: number) => s ** 3 * (10 - 15 * s + 6 * s * s);
const clamp = (s: number) => Math.min(Math.max(s, 0), 1);

/** A way of length one: minimum jerk with its own ends, slowed by a dip half way. */
function dippedCourse(dip: number, [begin, end]: Ends): (s: number) => number {
  const n = 2000;
  const way = new Float64Array(n + 1);
  for (let i = 1; i <= n; i++) {
    const s = (i - 0.5) / n;
    way[i] = way[i - 1] + s ** begin * (1 - s) ** end * (1 - dip * Math.exp(-(((s - 0.5) / 0.13) ** 2)));
  }
  return (s) => {
    const at = clamp(s) * n;
    const i = Math.min(Math.floor(at), n - 1);
    return (way[i] + (at - i) * (way[i + 1] - way[i])) / way[n];
  };
}

/** The bar on its way out of the rack: this far behind the start and above it, metres. */
const rackXM = -0.12;
const rackYM = 0.06;
/** How long it stood in the rack, seconds. */
const rackedS = 0.6;

/** Position over time: x forward, y up from the start; and when the descent (deadlift: the drive) begins. */
export function courseOf(rep: Rep): {
  at: (tS: number) => { x: number; y: number };
  startS: number;
  /** When the drive ends. */
  endS: number;
  /** When the bar leaves its rest or comes to it. */
  restsS: number[];
  lengthS: number;
} {
  const drive = dippedCourse(rep.dip, rep.driveEnds);
  const descent = dippedCourse(rep.hesitation, rep.descentEnds);
  const hasDescent = rep.lift !== 'deadlift';
  const fromRackS = rep.unrackS > 0 ? rackedS : 0;
  const startS = fromRackS + rep.unrackS + restS;
  const downS = hasDescent ? rep.descentS : 0;
  const driveFromS = startS + downS + rep.pauseS;
  const endS = driveFromS + rep.driveS;
  const at = (tS: number) => {
    const racked = rep.unrackS > 0 ? 1 - minimumJerk(clamp((tS - fromRackS) / rep.unrackS)) : 0;
    const down = hasDescent ? descent((tS - startS) / downS) : 0;
    const sunk =
      rep.sinkM * minimumJerk(clamp((tS - startS - downS - 0.05) / Math.max(rep.pauseS - 0.1, 0.1)));
    const up = drive((tS - driveFromS) / rep.driveS);
    const sag = rep.sagM * minimumJerk(clamp((tS - endS - 0.2) / 0.6));
    const x =
      rackXM * racked +
      rep.bottomX * down +
      (rep.lockoutX - (hasDescent ? rep.bottomX : 0)) * up +
      4 * rep.bellyX * up * (1 - up) +
      rep.swayM * Math.sin(2 * Math.PI * rep.swayHz * tS);
    const lowM = hasDescent ? rep.depthM + rep.sinkM : rep.depthM;
    return { x, y: rackYM * racked - (hasDescent ? rep.depthM * down + sunk : 0) + lowM * up - sag };
  };
  const paused = rep.pauseS > 0 ? [startS + downS, driveFromS] : [];
  return { at, startS, endS, restsS: [startS, ...paused, endS], lengthS: endS + holdS };
}

const silent = { syM: 1e-5, svMps: 1e-5 };

/** The rep's true measures: those of its exact motion. */
export function trueValues(rep: Rep): MeasureValues {
  const { at, lengthS } = courseOf(rep);
  const n = Math.floor(lengthS / fineS);
  const points = Array.from({ length: n + 2 }, (_, i) => at((i - 1) * fineS));
  const velocity = (pick: (p: { x: number; y: number }) => number) =>
    Float64Array.from(
      { length: n },
      (_, i) => (pick(points[i + 2 > n + 1 ? n + 1 : i + 2]) - pick(points[i])) / (2 * fineS),
    );
  const motion: Motion = {
    t0S: 0,
    dtS: fineS,
    xM: Float64Array.from({ length: n }, (_, i) => points[i + 1].x),
    yM: Float64Array.from({ length: n }, (_, i) => points[i + 1].y),
    vxMps: velocity((p) => p.x),
    vyMps: velocity((p) => p.y),
  };
  const [found] = findReps(motion, rep.lift, silent);
  return measureRep(motion, found.events, rep.lift, silent);
}

/** How surely films show when a bar leaves its rest or comes to it, one sigma, of the time between pictures: a little less than rendered ones. */
const restShare = 0.2;
/** Around that moment, seconds. */
const aroundRestS = 0.12;

/** By how much the motion shows late at each time: by another time wherever the bar leaves its rest or comes to it. */
function restsLate(restsS: readonly number[], fps: number, random: Random): (tS: number) => number {
  const lateS = restsS.map(() => (restShare / fps) * random.normal());
  return (tS) =>
    restsS.reduce((sum, atS, i) => sum + lateS[i] * Math.exp(-(((tS - atS) / aroundRestS) ** 2) / 2), 0);
}

export interface Filming {
  fps: number;
  noise: TraceNoise;
  calibration: Calibration;
  /** From when to when something stands before the disc, seconds of the clip. */
  hiddenS?: readonly [number, number];
}

/** What a camera with these errors makes of a rep, frame by frame: optics, then sensor, then the reading. */
export function film(rep: Rep, error: SourceDraw, filming: Filming, random: Random): PlaneTrace {
  const { at, startS, endS, restsS, lengthS } = courseOf(rep);
  const n = Math.floor(lengthS * filming.fps);
  const late = restsLate(restsS, filming.fps, random);
  const c = filming.calibration;
  const trueAngle = Math.abs(c.offSquareRad + error.offSquareRad);
  const scale = (1 + error.discDiameter) * (1 + error.rimScale) * (1 + error.lensScale);

  const reading = (tS: number) => {
    const { x, y } = at(tS);
    const progress = clamp((tS - startS) / (endS - startS));
    const z =
      error.sidewaysDepthM * (-y / rep.depthM) + error.sidewaysTravelM * progress ** 2 * (3 - 2 * progress);
    const depth = Math.cos(trueAngle) * z + error.tiltSide * Math.sin(trueAngle) * x;
    const nearer = 1 - depth / error.cameraDistanceM;
    const across = (x * Math.cos(trueAngle) - z * Math.sin(trueAngle)) * nearer;
    const up = error.axisHeightM + (y - error.axisHeightM) * nearer;
    const px = (Math.cos(error.rollRad) * across + Math.sin(error.rollRad) * up) / scale;
    const py = (Math.cos(error.rollRad) * up - Math.sin(error.rollRad) * across) / scale;
    const turn = error.runOutPhaseRad + (error.runOutTurn * y) / (c.discM / 2);
    return {
      x: px / Math.cos(c.offSquareRad) + error.runOutM * Math.cos(turn),
      y: py + error.runOutM * Math.sin(turn),
    };
  };
  const frame = (i: number) => {
    const labelS = i / filming.fps;
    const wobble =
      error.frameTimeS *
      Math.SQRT2 *
      Math.sin((2 * Math.PI * labelS) / error.frameTimePeriodS + error.frameTimePhaseRad);
    let p = reading(labelS);
    for (let k = 0; k < 4; k++) {
      const rowS = (-p.y / (picture.heightPx * c.metresPerPx)) * error.readOutS;
      p = reading(labelS + wobble + rowS - late(labelS));
    }
    return p;
  };
  const points = Array.from({ length: n }, (_, i) => frame(i));
  const noise = noiseOf(filming.noise, points, filming.fps, random);
  return {
    tS: Float64Array.from(points, (_, i) => i / filming.fps),
    xM: Float64Array.from(points, (p, i) => p.x + noise[i].x),
    yM: Float64Array.from(points, (p, i) => p.y + noise[i].y),
    sxM: new Float64Array(n).fill(filming.noise.statedM),
    syM: new Float64Array(n).fill(filming.noise.statedM),
    state: Uint8Array.from({ length: n }, (_, i) => Number(isHidden(i / filming.fps, filming))),
  };
}

/** A bridged sample's place says nothing: what it is makes no difference. */
const isHidden = (tS: number, { hiddenS = [0, 0] }: Filming): boolean => tS >= hiddenS[0] && tS < hiddenS[1];

export const timingOf = (fps: number): MeasuredClip['timing'] => ({
  medianIntervalS: 1 / fps,
  unevenness: 1,
  decodedFrames: 300,
  duplicatedFrames: 0,
});

/** A filmed trace with its reps found. */
export function clipOf(lift: Lift, plane: PlaneTrace, filming: Filming): MeasuredClip {
  const smoothing = smoothingByEvidence(plane);
  const { motion, restNoise } = smoothTrace(plane, smoothing);
  return {
    lift,
    plane,
    smoothing,
    calibration: filming.calibration,
    timing: timingOf(filming.fps),
    picture,
    reps: findReps(motion, lift, restNoise),
  };
}

/** Films a pair with errors drawn from the model, sharing what the two clips share. */
export function filmPair(
  [reference, today]: readonly [Rep, Rep],
  shared: Shared,
  filming: readonly [Filming, Filming],
  random: Random,
): [MeasuredClip, MeasuredClip] {
  const table = ({ calibration, fps }: Filming) =>
    errorSources({ lift: reference.lift, calibration, timing: timingOf(fps), picture });
  const [a, b] = drawPairSources(table(filming[0]), table(filming[1]), shared, random);
  return [
    clipOf(reference.lift, film(reference, a, filming[0], random), filming[0]),
    clipOf(today.lift, film(today, b, filming[1], random), filming[1]),
  ];
}
