import type { Facing, Lift } from '../../shared-lib/contract/lift.ts';

/**
 * Everything that decides a film, as plain values: the same spec renders the same film. Scene axes: x to the picture's
 * right, y up from the floor, z toward the viewer, metres; the near face of the near ruler disc lies in z = 0.
 * Motion is planned in the bar plane: x forward (where the lifter faces, or the feet on the bench), y up.
 */
export interface SceneSpec {
  seed: number;
  lift: Lift;
  facing: Facing;
  loadKg: number;
  /** Discs on each end, from the bar's collar outward. The ruler is the outermost of the largest ones. */
  discs: DiscSpec[];
  lifter: LifterSpec;
  gym: GymSpec;
  camera: CameraSpec;
  film: FilmSpec;
  plan: LiftPlan;
}

export type DiscDesign = 'rubber' | 'calibrated' | 'iron' | 'club';
export interface DiscSpec {
  diameterM: number;
  thicknessM: number;
  design: DiscDesign;
  /** Colour of the face, sRGB hex. */
  colour: string;
}

export interface LifterSpec {
  heightM: number;
  /** Thickness of limbs and trunk against a slender build, 1 to 1.35. */
  build: number;
  skin: string;
  hair: string;
  shirt: string;
  shorts: string;
  shoes: string;
}

export interface GymSpec {
  /** Decides textures and what stands where: the same gym on another day keeps its number. */
  seed: number;
  wall: 'brick' | 'boards' | 'paint' | 'blocks';
  wallColour: string;
  floorColour: string;
  rackColour: string;
  padColour: string;
  /** Distance of the back wall behind the ruler disc, metres. */
  wallBehindM: number;
  windows: boolean;
}

export interface CameraSpec {
  xM: number;
  yM: number;
  zM: number;
  /** Positive turns the view to the right. */
  panRad: number;
  /** Positive turns the view up. */
  tiltRad: number;
  /** Positive when true up leans to the right in the picture. */
  rollRad: number;
  focalPx: number;
  /** Hand-held turning of the camera, RMS at the picture's centre, pixels; 0 stands on a tripod. */
  shakePx: number;
}

export interface FilmSpec {
  /** Size as displayed. */
  widthPx: number;
  heightPx: number;
  fps: number;
  /** Standard deviation of the frame interval over its mean; above 0 the rate is variable. */
  jitter: number;
  /** Share of the frame interval the shutter is open. */
  shutter: number;
  /** Most sub-frames drawn within one exposure. */
  subFrames: number;
  /** Grain at mid grey, 8-bit levels, one sigma. */
  grain: number;
  /** Optical blur, one sigma, pixels. */
  blurPx: number;
  /** Share of light lost in the picture's corners. */
  vignette: number;
  exposure: number;
  codec: 'libx264' | 'libx265' | 'mpeg4' | 'ffv1';
  crf: number;
  preset: string;
  /** Clockwise turn that the container asks for: frames are stored turned the other way. */
  rotationDeg: 0 | 90 | 180 | 270;
  /** Capture rate over playback rate: file time runs this many times slower than real time. */
  slowMotion: number;
}

export interface LiftPlan {
  /** Still time before anything moves, seconds. */
  leadS: number;
  /** Unrack (and walk-out in the squat) before the first rep. */
  unrack: boolean;
  rerack: boolean;
  /** Still time at the top before each rep. */
  settleS: number;
  /** Still time after the last lockout. */
  holdS: number;
  tailS: number;
  reps: RepPlan[];
  /** Slow sway of the bar, metres, amplitude. */
  swayM: number;
  /** Turn of the disc on its sleeve, radians per metre of bar height. */
  spinRadPerM: number;
}

export interface RepPlan {
  romM: number;
  /** Time from top to bottom (squat, bench) or from the hold back to the floor (deadlift). */
  descentS: number;
  /** Time at rest in the bottom (squat, bench) or in the hold (deadlift). */
  pauseS: number;
  drive: DrivePlan;
  /** Bar's x at the bottom and at lockout, against the place it stood at before the first rep. */
  driftBottomM: number;
  driftLockoutM: number;
  /** Greatest signed deviation of the drive from the straight line between bottom and lockout. */
  bowM: number;
  /** The same for the way down. */
  descentBowM: number;
  /** Above 0 the drive ends this far below the start height, stalls and sinks back. */
  stopShortM: number;
}

/** Velocities of the drive in time order, m/s; equal peaks without `slowMps` make one smooth hill. */
export interface DrivePlan {
  firstPeakMps: number;
  /** Local minimum between the peaks; null for a drive without one. */
  slowMps: number | null;
  secondPeakMps: number;
}
