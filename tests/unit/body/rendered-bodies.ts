import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import { drawScene, stillCamera } from '../../../demo-data/draw-scene.ts';
import { layoutOf, rulerCentre } from '../../../demo-data/scene/layout.ts';
import { appearance, shotOf } from '../../../demo-data/scene/shot.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { ordinaryScene } from '../../../demo-data/suite/ordinary.ts';
import { eventsOf } from '../../../demo-data/truth/events.ts';
import { jointsAt } from '../../../demo-data/truth/joints.ts';
import type { BodyCamera } from '../../../shared-lib/body/body-camera.ts';
import { bodyMeasure, type BodyPoints } from '../../../shared-lib/body/geometry.ts';
import { jointOffsets, midline } from '../../../shared-lib/body/joints.ts';
import { measureBody, type BodyMoment } from '../../../shared-lib/body/measure-body.ts';
import { dot, normalOf, type Vec3 } from '../../../shared-lib/camera/pinhole.ts';
import { jointsOf, type BodyEvent, type BodyMeasure, type Joint } from '../../../shared-lib/contract/body.ts';
import { seededRandom, type Random } from '../../../shared-lib/motion/random.ts';

/** How much stances differ between lifters, one sigma of half their width, metres: common practice. */
const stanceSigmaM = 0.05;

/** A scene whose camera stands still so far off square, and whose lifter stands as wide as lifters do. */
export const turnedScene = (seed: number, offSquareRad: number): SceneSpec => {
  const scene = ordinaryScene(seed);
  return drawScene(seed, {
    ...scene,
    body: { widerM: stanceSigmaM * Math.max(-1.5, seededRandom(seed).normal()) },
    camera: { ...scene.camera, ...stillCamera, offSquareRad: seed % 2 === 0 ? offSquareRad : -offSquareRad },
    film: { ...scene.film, readOutS: 0 },
  });
};

/** The camera of a scene as following would give it if it made no error. */
export function exactCamera(spec: SceneSpec): BodyCamera {
  const { right, up, forward, at, focalPx, cxPx, cyPx } = shotOf(spec).cameraAt(0);
  const toViewer: Vec3 = [0, 0, 1];
  const discM = layoutOf(spec).ruler.diameterM;
  return {
    pose: {
      focalPx,
      cxPx,
      cyPx,
      normal: [dot(toViewer, right), -dot(toViewer, up), dot(toViewer, forward)],
      distanceRadii: (2 * at[2]) / discM,
      thicknessRadii: 0,
      rings: [],
      sigma: { logFocal: 0.06, yawRad: 0.02, offSquareRad: 0.02, pitchRad: 0.01, size: 0.004 },
      offset: { dxPx: 0, dyPx: 0 },
      sideMargin: 30,
    },
    discM,
    discSigma: 0.005,
    rollRad: spec.camera.rollRad,
    rollSigmaRad: 0.007,
    facing: spec.facing,
    picture: { widthPx: spec.film.widthPx, heightPx: spec.film.heightPx },
    lens: undefined,
  };
}

/** The same camera, off by as much as its own sigmas say, seen from a bar that keeps its place in the picture. */
export function erringCamera(exact: BodyCamera, bar: readonly [number, number], random: Random): BodyCamera {
  const { pose, discM } = exact;
  const { sigma } = pose;
  const logFocal = sigma.logFocal * random.normal();
  const yaw = Math.atan2(pose.normal[0], -pose.normal[2]) + sigma.yawRad * random.normal();
  const normal = normalOf(yaw, Math.asin(pose.normal[1]) + sigma.pitchRad * random.normal());
  const size = Math.hypot(sigma.size, exact.discSigma) * random.normal();
  const ray = (focalPx: number): Vec3 => [(bar[0] - pose.cxPx) / focalPx, (bar[1] - pose.cyPx) / focalPx, 1];
  const depth = -(pose.distanceRadii * discM) / 2 / dot(pose.normal, ray(pose.focalPx));
  const focalPx = pose.focalPx * Math.exp(logFocal);
  const erring = depth * Math.exp(logFocal) * (1 + size);
  return {
    ...exact,
    pose: { ...pose, focalPx, normal, distanceRadii: (-dot(normal, ray(focalPx)) * erring * 2) / discM },
    rollRad: exact.rollRad + exact.rollSigmaRad * random.normal(),
  };
}

export interface RenderedBody {
  event: BodyEvent;
  tS: number;
  moment: BodyMoment;
  /** Joints as seen square from the side, metres from the bar. */
  truth: BodyPoints;
}

/** The lifter's body at the first rep's events, marked without an error; its middle so far behind the disc as given. */
export function bodiesOf(spec: SceneSpec, midlineM?: number): RenderedBody[] {
  const motion = motionOf(spec);
  const shot = shotOf(spec);
  const layout = layoutOf(spec);
  const events = eventsOf(motion, spec.lift, 0);
  const times: [BodyEvent, number | null][] = [
    ['start', events.startS],
    [spec.lift === 'bench' ? 'touch' : 'bottom', events.touchS ?? events.bottomS],
    ['slowest', (events.driveStartS + (events.lockoutS ?? events.driveStartS + 1)) / 2],
    ['lockout', events.lockoutS],
  ];
  return times.flatMap(([event, tS]) => {
    if (tS === null) return [];
    const bar = motion.at(tS);
    const { xPx, yPx } = appearance(shot, tS, (atS) => rulerCentre(layout, motion.at(atS)));
    const joints = jointsAt(spec, motion, shot, tS, midlineM);
    const truth: BodyPoints = {};
    const marks: BodyMoment['marks'] = {};
    for (const joint of jointsOf[spec.lift]) {
      const { at, xPx: jx, yPx: jy } = joints[joint];
      truth[joint] = [at[0] - bar.xM, at[1] - bar.yM];
      marks[joint] = [jx, jy];
    }
    return [{ event, tS, moment: { event, bar: [xPx, yPx], marks }, truth }];
  });
}

/** Every mark off by a hand's error. */
export function byHand(moment: BodyMoment, sigmaPx: number, random: Random): BodyMoment {
  const marks: BodyMoment['marks'] = {};
  for (const [joint, [x, y]] of Object.entries(moment.marks) as [Joint, [number, number]][])
    marks[joint] = [x + sigmaPx * random.normal(), y + sigmaPx * random.normal()];
  return { ...moment, marks };
}

export interface BodyTrial {
  measure: BodyMeasure;
  exact: number;
}

/**
 * Body measures of scenes' lifters, from marks that are off by a hand's error and a camera that is off by its sigmas.
 *
 * @param depths how far the body's middle is behind the disc; as the scenes have it unless given
 */
export function bodyTrials({
  scenes,
  offDeg,
  markMm,
  depths,
  only,
}: {
  scenes: number;
  offDeg: number;
  markMm: number;
  depths?: { meanM: number; sigmaM: number };
  /** One event of each lift instead of all. */
  only?: BodyEvent;
}): BodyTrial[] {
  const random = seededRandom(4 + offDeg);
  // Other lifters at each angle.
  return Array.from({ length: scenes }, (_, k) => 5000 + 100 * offDeg + k).flatMap((seed) => {
    const spec = turnedScene(seed, (offDeg * Math.PI) / 180);
    const all = bodiesOf(spec, depths && depths.meanM + depths.sigmaM * random.normal());
    const bodies = all.filter(({ event }) => only === undefined || event === only);
    const exactly = exactCamera(spec);
    const { pose, discM } = exactly;
    const bodyM = (pose.distanceRadii * discM) / 2 + midline.depthM - jointOffsets[spec.lift].knee.nearerM;
    const markPx = ((markMm / 1000) * pose.focalPx) / bodyM;
    const camera = erringCamera(exactly, bodies[0].moment.bar, random);
    const moments = bodies.map(({ moment }) => byHand(moment, markPx, random));
    const side = { camera, moments, markSigmaPx: Math.max(markPx, 0.01), view: `${seed}`, hand: `${seed}` };
    return measureBody(side, spec.lift).map(({ measure }) => ({
      measure,
      exact: bodyMeasure(measure.name, spec.lift, bodies.find(({ event }) => event === measure.event)!.truth),
    }));
  });
}
