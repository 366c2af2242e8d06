import type { BodyEvent, BodyMeasure, BodyMeasureName, Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Measure } from '../contract/rep.ts';
import { stream } from '../motion/random.ts';
import { summarize } from '../pair/monte-carlo.ts';
import { yawOf } from '../camera/pinhole.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import { bodyPoints, otherSideShare, viewDraw, viewSources, type Mark } from './body-draw.ts';
import { boneMisfits } from './bones.ts';
import { fitUnknowns } from './fit-body.ts';
import { bodyMeasure, measuredAt, unitOf, type BodyPoints } from './geometry.ts';

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
/**
 * The view alone may leave this much open, half a 95 % interval, before a measure says nothing: places by common practice;
 * angles so that those which are told are within 2 degrees, root mean square (measured on rendered lifters).
 */
const mostOpen = { m: 0.05, rad: (4 * Math.PI) / 180 } as const;
/** Side views from further off square than this are no side views, radians: the limit for drift. */
export const furthestOffSquareRad = (35 * Math.PI) / 180;

/** A body measure at one event with its draws, so that two reps' can be subtracted draw by draw. */
export interface DrawnMeasure {
  measure: BodyMeasure;
  draws: Float64Array;
}

/**
 * Every body measure whose marks are there. A landmark marked at the start serves the other events too, and bones that
 * keep their length from event to event say how far out a joint is and which mark is off.
 */
export function measureBody(side: BodySide, lift: Lift): DrawnMeasure[] {
  const { camera } = side;
  const moments = withLandmarks(side.moments, lift);
  const sigmaPx = side.markSigmaPx ?? usualMarkSigmaPx(camera, moments);
  const isSideView = Math.abs(yawOf(camera.pose.normal)) < furthestOffSquareRad;
  const marks = marksOf(moments);
  const count = viewSources + 2 * marks.length;
  const placed = (z: ArrayLike<number>, otherSide = false): BodyPoints[] => {
    const view = viewDraw(camera, z, otherSide);
    const moved = movedMarks(marks, sigmaPx, z);
    return moments.map((moment) => bodyPoints(camera, lift, view, moment.bar, moved(moment.marks)));
  };
  const { at, scatter, scatterFirst } = fitUnknowns(count, viewSources, (z) => boneMisfits(placed(z)));
  const estimated = placed(at);
  const [view, hand] = [stream(seed, `view ${side.view}`), stream(seed, `marks ${side.hand}`)];
  const otherSideIs = otherSideShare(camera);
  const drawn: BodyPoints[][] = [];
  const exact: BodyPoints[][] = [];
  for (let k = 0; k < drawCount; k++) {
    const ofView = Array.from({ length: viewSources }, () => view.normal());
    const otherSide = view.uniform() < otherSideIs;
    const all = [...ofView, ...marks.flatMap(() => [hand.normal(), hand.normal()])];
    drawn.push(placed(scatter(all), otherSide));
    exact.push(placed(scatterFirst(ofView), otherSide));
  }
  return moments.flatMap(({ event }, m) =>
    measuredAt(event, lift).flatMap((name) => {
      const value = bodyMeasure(name, lift, estimated[m]);
      if (!Number.isFinite(value)) return [];
      const of = (all: readonly BodyPoints[][]) =>
        Float64Array.from(all, (points) => near(value, bodyMeasure(name, lift, points[m]), name));
      const draws = of(drawn);
      const viewU95 = intervalOf(value, of(exact), unitOf(name)).u95;
      const canJudge = isSideView && viewU95 <= mostOpen[unitOf(name)];
      const measure = { ...intervalOf(value, draws, unitOf(name)), event, name, viewU95, canJudge };
      return [{ measure, draws }];
    }),
  );
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

/** Every mark once: one that serves several events is off by one amount in all of them. */
const marksOf = (moments: readonly BodyMoment[]): Mark[] => [
  ...new Set(moments.flatMap(({ marks }) => Object.values(marks))),
];

/** Marks off by what the unknowns behind the view's say, across and down in turn, in sigmas. */
function movedMarks(all: readonly Mark[], sigmaPx: number, z: ArrayLike<number>) {
  const at = new Map<Mark, Mark>();
  all.forEach((mark, i) => {
    const [xPx, yPx, own = 0] = mark;
    const sigma = Math.max(sigmaPx, own);
    const k = viewSources + 2 * i;
    at.set(mark, [xPx + sigma * z[k], yPx + sigma * z[k + 1]]);
  });
  return (marks: BodyMoment['marks']): BodyMoment['marks'] => {
    const moved: BodyMoment['marks'] = {};
    for (const [joint, mark] of Object.entries(marks) as [Joint, Mark][]) moved[joint] = at.get(mark)!;
    return moved;
  };
}
