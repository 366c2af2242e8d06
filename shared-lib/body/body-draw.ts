import type { Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { cross, dot, normalOf, rayThrough, yawOf, type Vec3 } from '../camera/pinhole.ts';
import { upOf } from '../camera/pose-plane.ts';
import type { Random } from '../motion/random.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import type { BodyPoint } from './geometry.ts';
import { jointOffsets, midline } from './joints.ts';

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
  jointM: Partial<Record<Joint, number>>;
}

export const asEstimated: ViewDraw = {
  logFocal: 0,
  yawRad: 0,
  pitchRad: 0,
  size: 0,
  rollRad: 0,
  otherSide: false,
  midlineM: 0,
  jointM: {},
};

export function drawView(camera: BodyCamera, lift: Lift, joints: readonly Joint[], random: Random): ViewDraw {
  const { sigma, sideMargin } = camera.pose;
  const jointM: ViewDraw['jointM'] = {};
  // A foot turns and steps as one: its heel, toe and ankle share their distance from the midline.
  const foot = random.normal();
  const isFoot = (joint: Joint) => joint === 'heel' || joint === 'toe' || joint === 'ankle';
  for (const joint of joints)
    jointM[joint] = jointOffsets[lift][joint].sigmaM * (isFoot(joint) ? foot : random.normal());
  return {
    logFocal: sigma.logFocal * random.normal(),
    yawRad: sigma.yawRad * random.normal(),
    pitchRad: sigma.pitchRad * random.normal(),
    size: Math.hypot(sigma.size, camera.discSigma) * random.normal(),
    rollRad: camera.rollSigmaRad * random.normal(),
    otherSide: random.uniform() < 1 / (1 + Math.exp(sideMargin)),
    midlineM: midline.sigmaM * random.normal(),
    jointM,
  };
}

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
  const points: Partial<Record<Joint, BodyPoint>> = {};
  for (const [joint, [xPx, yPx]] of Object.entries(marks) as [Joint, Mark][]) {
    const behindM =
      midline.depthM + draw.midlineM - jointOffsets[lift][joint].nearerM - (draw.jointM[joint] ?? 0);
    const ray = rayThrough(lens, xPx, yPx);
    const k = (dot(normal, at) - behindM) / dot(normal, ray);
    const from: Vec3 = [k * ray[0] - at[0], k * ray[1] - at[1], k * ray[2] - at[2]];
    points[joint] = [forward * dot(from, right), dot(from, up)];
  }
  return points;
}

const clampTurn = (rad: number): number => Math.min(steepestRad, Math.max(-steepestRad, rad));
