import {
  jointNames,
  type BodyEvent,
  type BodyMeasure,
  type BodyMeasureName,
  type Joint,
} from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Measure } from '../contract/rep.ts';
import { stream } from '../motion/random.ts';
import { summarize } from '../pair/monte-carlo.ts';
import { yawOf } from '../camera/pinhole.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import { asEstimated, bodyPoints, drawView, type Mark } from './body-draw.ts';
import { bodyMeasure, measuresOf, unitOf } from './geometry.ts';

type Pixel = readonly [xPx: number, yPx: number];

/** A body as marked at one event; pixels of the first frame through a straight lens. */
export interface BodyMoment {
  event: BodyEvent;
  /** The disc's centre as it was followed. */
  bar: Pixel;
  marks: Partial<Record<Joint, Mark>>;
}

export interface BodySide {
  camera: BodyCamera;
  moments: readonly BodyMoment[];
  /** One sigma of each mark, pixels; a careful hand's unless said otherwise. */
  markSigmaPx?: number;
  /** Name the draws: sides whose `view` has one name share what the view leaves open; `hand` names the marks' errors. */
  view: string;
  hand: string;
}

/** How surely a joint under skin and cloth is pointed at, one sigma, metres, and never better than so many pixels: common practice. */
const markM = 0.008;
const finestMarkPx = 2;
const drawCount = 1000;
const seed = 60;
/** The view alone may leave this much open, half a 95 % interval, before a measure says nothing: common practice. */
const mostOpen = { m: 0.05, rad: (10 * Math.PI) / 180 } as const;
/** Side views from further off square than this are no side views, radians: the limit for drift. */
export const furthestOffSquareRad = (35 * Math.PI) / 180;

/** A body measure at one event with its draws, so that two reps' can be subtracted draw by draw. */
export interface DrawnMeasure {
  measure: BodyMeasure;
  draws: Float64Array;
}

/** Every body measure whose marks are there. A landmark marked at the start serves the other events too. */
export function measureBody(side: BodySide, lift: Lift): DrawnMeasure[] {
  const { camera } = side;
  const moments = withLandmarks(side.moments, lift);
  const sigmaPx = side.markSigmaPx ?? usualMarkSigmaPx(camera, moments);
  const view = stream(seed, `view ${side.view}`);
  const views = Array.from({ length: drawCount }, () => drawView(camera, jointNames, view));
  const isSideView = Math.abs(yawOf(camera.pose.normal)) < furthestOffSquareRad;
  const noise = markNoise(moments, `marks ${side.hand}`, sigmaPx);
  return moments.flatMap((moment) => {
    const estimated = bodyPoints(camera, lift, asEstimated, moment.bar, moment.marks);
    const names = measuresOf[lift].filter((name) => Number.isFinite(bodyMeasure(name, lift, estimated)));
    const drawn = views.map((draw, k) =>
      bodyPoints(camera, lift, draw, moment.bar, noise.moved(moment.marks, k)),
    );
    const exact = views.map((draw) => bodyPoints(camera, lift, draw, moment.bar, moment.marks));
    return names.map((name) => {
      const value = bodyMeasure(name, lift, estimated);
      const draws = Float64Array.from(drawn, (points) => near(value, bodyMeasure(name, lift, points), name));
      const byView = Float64Array.from(exact, (points) => near(value, bodyMeasure(name, lift, points), name));
      const viewU95 = intervalOf(value, byView, unitOf(name)).u95;
      return {
        measure: {
          ...intervalOf(value, draws, unitOf(name)),
          event: moment.event,
          name,
          viewU95,
          canJudge: isSideView && viewU95 <= mostOpen[unitOf(name)],
        },
        draws,
      };
    });
  });
}

export function intervalOf(value: number, draws: Float64Array, unit: string): Measure {
  const summary = summarize(draws);
  const lo95 = Math.min(value, summary?.lo95 ?? value);
  const hi95 = Math.max(value, summary?.hi95 ?? value);
  return { value, lo95, hi95, u95: (hi95 - lo95) / 2, unit };
}

/** A trunk's lean is read on the side of a full turn where its estimate lies. */
const near = (value: number, drawn: number, name: BodyMeasureName): number =>
  name === 'trunk_rad' ? value + wrapped(drawn - value) : drawn;
const wrapped = (rad: number): number => Math.atan2(Math.sin(rad), Math.cos(rad));

function withLandmarks(moments: readonly BodyMoment[], lift: Lift): BodyMoment[] {
  const start = moments.find(({ event }) => event === 'start');
  const landmarks: readonly Joint[] = lift === 'bench' ? ['shoulder'] : ['heel', 'toe'];
  return moments.map((moment) => {
    const marks = { ...moment.marks };
    for (const joint of landmarks) {
      const lent = start?.marks[joint];
      if (lent && !marks[joint]) marks[joint] = lent;
    }
    return { ...moment, marks };
  });
}

function usualMarkSigmaPx(camera: BodyCamera, moments: readonly BodyMoment[]): number {
  if (moments.length === 0) return finestMarkPx;
  const depthM = barInCamera(camera, ...moments[0].bar)[2];
  return Math.max(finestMarkPx, (markM * camera.pose.focalPx) / depthM);
}

/** The same mark carries the same error wherever it is used: a foot marked once is off by one amount in all events. */
function markNoise(moments: readonly BodyMoment[], name: string, sigmaPx: number) {
  const random = stream(seed, name);
  const noises = new Map<Mark, Float64Array>();
  for (const { marks } of moments)
    for (const mark of Object.values(marks))
      if (!noises.has(mark))
        noises.set(
          mark,
          Float64Array.from(
            { length: 2 * drawCount },
            () => Math.max(sigmaPx, mark[2] ?? 0) * random.normal(),
          ),
        );
  return {
    moved(marks: BodyMoment['marks'], k: number): BodyMoment['marks'] {
      const out: BodyMoment['marks'] = {};
      for (const [joint, mark] of Object.entries(marks) as [Joint, Mark][]) {
        const noise = noises.get(mark)!;
        out[joint] = [mark[0] + noise[2 * k], mark[1] + noise[2 * k + 1]];
      }
      return out;
    },
  };
}
