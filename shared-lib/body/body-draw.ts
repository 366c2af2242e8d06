import { jointNames, type Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { cross, dot, normalOf, rayThrough, yawOf, type Vec3 } from '../camera/pinhole.ts';
import { upOf } from '../camera/pose-plane.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import type { BodyPoint } from './geometry.ts';
import { hinges, jointOffsets, midline, type Hinge } from './joints.ts';

/** One value for everything that the view of a body leaves open; all zero and `otherSide` false is the estimate itself. */
export interface ViewDraw {
  logFocal: number;
  yawRad: number;
  pitchRad: number;
  /** Of the rim's and the disc's size together, relative. */
  size: number;
  rollRad: number;
  /** The camera stands on the other side of square. */
  otherSide: boolean;
  midlineM: number;
  /** How far each joint's depth is off, in its sigmas. */
  joint: Partial<Record<Joint, number>>;
  /** How much farther out hinges go, in their sigmas. */
  outward: number;
}

export const asEstimated: ViewDraw = {
  logFocal: 0,
  yawRad: 0,
  pitchRad: 0,
  size: 0,
  rollRad: 0,
  otherSide: false,
  midlineM: 0,
  joint: {},
  outward: 0,
};

/** A foot turns and steps as one: its heel, toe and ankle share their distance from the midline. */
const depths: readonly (readonly Joint[])[] = [
  ['heel', 'toe', 'ankle'],
  ...jointNames.filter((name) => name !== 'heel' && name !== 'toe' && name !== 'ankle').map((name) => [name]),
];

/** How many independent sources a view has. */
export const viewSources = 7 + depths.length;

/** What a view leaves open with each of its sources so many sigmas off. */
export function viewDraw(camera: BodyCamera, z: ArrayLike<number>, otherSide: boolean): ViewDraw {
  const { sigma } = camera.pose;
  const joint: ViewDraw['joint'] = {};
  depths.forEach((names, i) => {
    for (const name of names) joint[name] = z[7 + i];
  });
  return {
    logFocal: sigma.logFocal * z[0],
    yawRad: sigma.yawRad * z[1],
    pitchRad: sigma.pitchRad * z[2],
    size: Math.hypot(sigma.size, camera.discSigma) * z[3],
    rollRad: camera.rollSigmaRad * z[4],
    midlineM: midline.sigmaM * z[5],
    outward: z[6],
    otherSide,
    joint,
  };
}

/** How likely it is that the camera stands on the other side of square than its pose says. */
export const otherSideShare = ({ pose }: BodyCamera): number => 1 / (1 + Math.exp(pose.sideMargin));

/** A mark, with its own sigma in pixels where it is less sure than a hand's. */
export type Mark = readonly [xPx: number, yPx: number, sigmaPx?: number];

/** No draw turns the bar plane further from square than a picture of the disc's face allows, radians. */
const steepestRad = 1.3;

/**
 * Points of the body as seen from a camera that differs from the fitted one by a draw, metres forward and up from the
 * bar. A joint lies on the ray through its mark and in a plane that runs beside the bar plane, behind it.
 *
 * @param bar the disc's centre as it was followed; `marks` the joints; pixels of the first frame through a straight lens
 */
export function bodyPoints(
  camera: BodyCamera,
  lift: Lift,
  draw: ViewDraw,
  bar: readonly [xPx: number, yPx: number],
  marks: Partial<Record<Joint, Mark>>,
): Partial<Record<Joint, BodyPoint>> {
  const { pose } = camera;
  const lens = { ...pose, focalPx: pose.focalPx * Math.exp(draw.logFocal) };
  const fitted = yawOf(pose.normal);
  const yaw = clampTurn((draw.otherSide ? -fitted : fitted) + draw.yawRad);
  const normal = normalOf(yaw, Math.asin(pose.normal[1]) + draw.pitchRad);
  // The same rim in the picture is farther away through a longer lens, and if the disc is larger.
  const depthM = barInCamera(camera, ...bar)[2] * Math.exp(draw.logFocal) * (1 + draw.size);
  const toBar = rayThrough(lens, bar[0] + pose.offset.dxPx, bar[1] + pose.offset.dyPx);
  const at: Vec3 = [toBar[0] * depthM, toBar[1] * depthM, depthM];
  const up = upOf(normal, camera.rollRad + draw.rollRad);
  const right = cross(up, normal);
  const forward = camera.facing === 'right' ? 1 : -1;
  const seenAt = ([xPx, yPx]: Mark, nearerM: number): BodyPoint => {
    const ray = rayThrough(lens, xPx, yPx);
    const behindM = midline.depthM + draw.midlineM - nearerM;
    const k = (dot(normal, at) - behindM) / dot(normal, ray);
    const from: Vec3 = [k * ray[0] - at[0], k * ray[1] - at[1], k * ray[2] - at[2]];
    return [forward * dot(from, right), dot(from, up), nearerM];
  };
  const nearerOf = (joint: Joint): number => {
    const { nearerM, sigmaM } = jointOffsets[lift][joint];
    return nearerM + sigmaM * (draw.joint[joint] ?? 0);
  };
  const points: Partial<Record<Joint, BodyPoint>> = {};
  for (const [joint, mark] of Object.entries(marks) as [Joint, Mark][])
    points[joint] = seenAt(mark, nearerOf(joint));
  for (const [joint, hinge] of Object.entries(hinges) as [Joint, Hinge][]) {
    const [first, second] = hinge.ends.map((end) => points[end]);
    const mark = marks[joint];
    if (!mark || !first || !second) continue;
    const [a, b] = hinge.ends;
    const share = hinge.outward[lift] + hinge.outwardSigma * draw.outward;
    const straightM = (nearerOf(a) + nearerOf(b)) / 2 + hinge.sigmaM * (draw.joint[joint] ?? 0);
    const bendAt = (nearerM: number) => offLine(seenAt(mark, nearerM), first, second);
    points[joint] = seenAt(mark, straightM + outwardOf(share, bendAt(straightM), bendAt(straightM + 1)));
  }
  return points;
}

/** What is left of a metre as the bend grows with it, at least: where it grows as fast, how far out is not seen. */
const leastLeft = 0.4;

/**
 * How far out a bent joint is. The farther out it lies on its ray the more or the less it bends in the side view.
 *
 * @param share of the bend; `bentM` out of the line as seen if it lay straight, `bentOutM` if it lay a metre farther out
 */
function outwardOf(share: number, bentM: number, bentOutM: number): number {
  const growth = share * Math.sign(bentM) * (bentOutM - bentM);
  return (share * Math.abs(bentM)) / Math.max(leastLeft, 1 - growth);
}

/** How far a point is from the line through two others, to one side or the other. */
function offLine([x, y]: BodyPoint, a: BodyPoint, b: BodyPoint): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  return (dx * (y - a[1]) - dy * (x - a[0])) / Math.max(Math.hypot(dx, dy), 1e-9);
}

const clampTurn = (rad: number): number => Math.min(steepestRad, Math.max(-steepestRad, rad));
