import type { Facing, Lift } from '../../shared-lib/contract/lift.ts';
import type { SidewaysSpec } from '../motion/sideways.ts';
import type { ExtraSpec } from './extra-spec.ts';

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
  /** What else is there: things and people in front of the disc and behind the lifter. */
  extras?: ExtraSpec[];
  /** What the body does beyond what the bar asks of it. */
  body?: BodySpec;
}

export interface BodySpec {
  /** The knees come forward by this after the last lockout: from 0.3 s after it, within 0.5 s. Metres. */
  kneeUnlockM?: number;
  /** The heels are lifted by this at the bottom of a squat, and stand before and after. Metres. */
  heelRiseM?: number;
  /** The feet stand this much wider than usual, each; metres. */
  widerM?: number;
}

/** The last two belong to the other style of scene alone. */
export type DiscDesign =
  'rubber' | 'calibrated' | 'iron' | 'club' | 'plain' | 'spoked' | 'gripped' | 'banded';
export interface DiscSpec {
  diameterM: number;
  thicknessM: number;
  design: DiscDesign;
  /** Colour of the face, sRGB hex. */
  colour: string;
  /** Scuffs and dust, 0 to 3; the design's own when absent. */
  wear?: number;
  /** Centre off the sleeve's axis (direction on the face below), and lean against it; both turn with the disc. */
  runOutM?: number;
  runOutRad?: number;
  wobbleRad?: number;
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
  /** The last three belong to the other style of scene. */
  wall: 'brick' | 'boards' | 'paint' | 'blocks' | 'concrete' | 'tiles' | 'panels';
  wallColour: string;
  floorColour: string;
  rackColour: string;
  padColour: string;
  /** Distance of the back wall behind the ruler disc, metres. */
  wallBehindM: number;
  windows: boolean;
  /** What stands along the wall; a gym's equipment when absent. */
  furnishing?: 'hall';
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
  /** Slow turning over the clip, from half of it before the placement to half of it behind: right and up. */
  sweepPanRad: number;
  sweepTiltRad: number;
  /** Slow change of the focal length, as a share of it, amplitude. */
  zoomDrift: number;
  /** Radial distortion of the lens, in focal lengths; 0 keeps straight lines straight. */
  lensK1: number;
  lensK2: number;
}

export interface FilmSpec {
  /** Size as displayed. */
  widthPx: number;
  heightPx: number;
  fps: number;
  /** Standard deviation of the frame interval over its mean; above 0 the rate is variable. */
  jitter: number;
  /** Share of frames that are missing from the file; the time stamps jump. */
  dropShare: number;
  /** Share of frames that show the picture before them again, under time stamps of their own. */
  repeatShare: number;
  /** The rate that a film converted to `fps` was captured at: each frame shows the latest captured picture. Null without. */
  convertedFromFps: number | null;
  /** Share of the frame interval the shutter is open. */
  shutter: number;
  /** Time from reading the first row to reading the last, seconds; a frame's own time is its middle row's. */
  readOutS: number;
  /** Most sub-frames drawn within one exposure. */
  subFrames: number;
  /** Grain at mid grey, 8-bit levels, one sigma. */
  grain: number;
  /** Optical blur, one sigma, pixels. */
  blurPx: number;
  /** Share of light lost in the picture's corners. */
  vignette: number;
  exposure: number;
  /** Ripple of the lamps' light, as a share of it, amplitude, and its frequency: twice the mains'. */
  flicker: number;
  flickerHz: number;
  /** Strength of an S-curve over the levels, and of sharpening; none when absent. */
  contrast?: number;
  sharpen?: number;
  /** A change of the exposure by a factor within the clip, real time. */
  exposureRamp: { atS: number; overS: number; factor: number } | null;
  /** Taken in luminance alone: a grey film that costs less to make. */
  grey: boolean;
  codec: 'libx264' | 'libx265' | 'mpeg4' | 'ffv1';
  crf: number;
  /** Bits that the encoder may spend on a pixel, in the mean of the film: then `crf` is not used. Absent where it is. */
  bitsPerPx?: number;
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
  /** A helper lifts the bar out of a bench's rack, high, and lowers it into the lifter's hands. */
  handOff?: boolean;
  /** The bar's own frequency: its ends whip after a fast start. Absent in a bar that does not bend. */
  whipHz?: number;
  /** Travel along the bar's own axis; absent in a bar that stays in its plane. */
  sideways?: SidewaysSpec;
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
  /** The bar sinks this far into the chest in the first 0.35 s of the pause. */
  sinkM?: number;
  /** Where the drive stops, falls back and goes on, in the order of their heights. */
  breaks?: BreakPlan[];
  /** Time at rest before the rep, instead of the plan's; 0 bounces the bar off the floor in a deadlift's later reps. */
  restS?: number;
  /** A deadlift's last rep is let go at the top and falls. */
  dropped?: boolean;
}

/** An interruption of the drive: a stop, a hitch, or an attempt that comes back to the bottom. */
export interface BreakPlan {
  /** Share of the way up at which it begins. */
  atShare: number;
  /** The bar falls by this, metres, and then rests. */
  fallM: number;
  stillS: number;
}

/** Velocities of the drive in time order, m/s; equal peaks without `slowMps` make one smooth hill. */
export interface DrivePlan {
  firstPeakMps: number;
  /** Local minimum between the peaks; null for a drive without one. */
  slowMps: number | null;
  secondPeakMps: number;
}
