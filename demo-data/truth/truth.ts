import { motionOf, type BarMotion } from '../motion/bar-motion.ts';
import { depthOf, makeCamera } from '../scene/camera.ts';
import { discTurnRad, rulerFace } from '../scene/disc-face.ts';
import { layoutOf, rulerCentre, type Layout } from '../scene/layout.ts';
import { appearance, shotOf, type Shot } from '../scene/shot.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { coverOf, type Cover } from './cover.ts';
import { eventsOf } from './events.ts';
import { measuresOf } from './measures.ts';
import { apparentRim } from './rim.ts';
import type { Truth, TruthRep } from './schema.ts';

export interface FrameMoment {
  ptsS: number;
  /** Real time of the frame. */
  tS: number;
  /** Real time at which its picture was taken: earlier where it shows a picture again. */
  takenS: number;
}

export function truthOf(spec: SceneSpec, clip: string, moments: readonly FrameMoment[]): Truth {
  const motion = motionOf(spec);
  const layout = layoutOf(spec);
  const reps = spec.plan.reps.map((_, i) => repTruth(spec, motion, i));
  const origin = originOf(motion, reps[0].start_s);
  const { widthPx, heightPx } = spec.film;
  const shot = shotOf(spec);
  const cover = coverOf(spec, layout);
  const start = rulerCentre(layout, origin);
  const still = makeCamera(spec.camera, widthPx, heightPx);
  return {
    schema: 1,
    clip,
    lift: spec.lift,
    facing: spec.facing,
    load_kg: spec.loadKg,
    film: {
      width_px: widthPx,
      height_px: heightPx,
      fps: spec.film.fps,
      shutter: spec.film.shutter,
      read_out_s: spec.film.readOutS,
      rotation_deg: spec.film.rotationDeg,
      slow_motion: spec.film.slowMotion,
    },
    camera: {
      x_m: spec.camera.xM,
      y_m: spec.camera.yM,
      z_m: spec.camera.zM,
      pan_rad: spec.camera.panRad,
      tilt_rad: spec.camera.tiltRad,
      roll_rad: spec.camera.rollRad,
      focal_px: spec.camera.focalPx,
      off_square_rad: Math.atan2(spec.camera.xM - start[0], spec.camera.zM - start[2]),
      shake_px: spec.camera.shakePx,
      lens_k1: spec.camera.lensK1,
      lens_k2: spec.camera.lensK2,
    },
    disc: { diameter_m: layout.ruler.diameterM, metres_per_px: depthOf(still, start) / spec.camera.focalPx },
    origin: { x_m: start[0], y_m: start[1] },
    frames: moments.map((moment, frame) =>
      frameTruth(spec, layout, motion, shot, cover, origin, moment, frame),
    ),
    reps,
  };
}

/** Median of the bar's place over the last 0.3 s of standing still before a rep's start. */
function originOf(motion: BarMotion, startS: number): { xM: number; yM: number } {
  const states = Array.from({ length: 301 }, (_, i) => motion.at(Math.max(0, startS - i / 1000)));
  const median = (values: number[]) => values.sort((a, b) => a - b)[150];
  return { xM: median(states.map((s) => s.xM)), yM: median(states.map((s) => s.yM)) };
}

function frameTruth(
  spec: SceneSpec,
  layout: Layout,
  motion: BarMotion,
  shot: Shot,
  cover: Cover,
  origin: { xM: number; yM: number },
  { ptsS, tS, takenS }: FrameMoment,
  frame: number,
): Truth['frames'][number] {
  const state = motion.at(tS);
  const faceAt = (atS: number) => rulerFace(spec, layout, motion.at(atS));
  const radiusM = layout.ruler.diameterM / 2;
  const at = appearance(shot, takenS, (atS) => faceAt(atS).centre);
  const d = apparentRim(shot, takenS, faceAt, radiusM);
  const turn = shot.turnAt(takenS);
  return {
    frame,
    pts_s: ptsS,
    t_s: tS,
    taken_s: takenS,
    px: at.xPx,
    py: at.yPx,
    x_m: state.xM - origin.xM,
    y_m: state.yM - origin.yM,
    rim: { x_px: d.xPx, y_px: d.yPx, a_px: d.aPx, b_px: d.bPx, theta_rad: d.thetaRad },
    covered: cover(shot.cameraAt(takenS), faceAt(takenS), takenS),
    turn_rad: discTurnRad(spec, motion.at(takenS).yM),
    pan_rad: turn.panRad,
    tilt_rad: turn.tiltRad,
    roll_rad: turn.rollRad,
    zoom: turn.zoom,
  };
}

function repTruth(spec: SceneSpec, motion: BarMotion, i: number): TruthRep {
  const events = eventsOf(motion, spec.lift, i);
  return {
    rep: i + 1,
    start_s: events.startS,
    touch_s: events.touchS,
    bottom_s: events.bottomS,
    pause_start_s: events.pauseStartS,
    pause_end_s: events.pauseEndS,
    drive_start_s: events.driveStartS,
    lockout_s: events.lockoutS,
    outcome: events.outcome,
    measures: measuresOf(motion, spec.lift, events),
  };
}
