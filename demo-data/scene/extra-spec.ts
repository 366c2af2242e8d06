import type { DiscSpec, LifterSpec } from './spec.ts';

/**
 * What else is in a scene besides the lifter, his station and the gym's furniture. Places are given in the lifter's own
 * axes: x forward from the first rep's start, y up from the floor, z toward the viewer from the ruler's near face; metres
 * and seconds of real time.
 */
export type ExtraSpec = UprightSpec | LimbSpec | SpotterSpec | WalkerSpec | LoadedBarSpec | MirrorSpec;

/** A steel upright that stands between the camera and the disc. */
export interface UprightSpec {
  kind: 'upright';
  xM: number;
  zM: number;
  widthM: number;
  topM: number;
  colour: string;
}

/** An arm or a leg of somebody outside the picture that swings through it once, from one angle to another and back. */
export interface LimbSpec {
  kind: 'limb';
  part: 'arm' | 'leg';
  /** Shoulder or hip. */
  xM: number;
  yM: number;
  zM: number;
  /** Direction of the limb, radians from straight up, positive forward: before and after the swing, and at its height. */
  restRad: number;
  swungRad: number;
  fromS: number;
  durationS: number;
  look: LifterSpec;
}

/** Somebody who stands beside the disc and reaches in with the near hand for a while. */
export interface SpotterSpec {
  kind: 'spotter';
  /** Feet. */
  xM: number;
  zM: number;
  /** +1 looks forward as the lifter does, -1 back. */
  looks: 1 | -1;
  /** Where the hand goes. */
  handXM: number;
  handYM: number;
  fromS: number;
  /** Time with the hand there; the way in and the way out take 0.5 s each. */
  durationS: number;
  look: LifterSpec;
}

/** Somebody who walks through the picture, past x = `xM` at `atS`. */
export interface WalkerSpec {
  kind: 'walker';
  xM: number;
  atS: number;
  zM: number;
  /** Negative walks backward along x. */
  speedMps: number;
  /** In front of the chest: a jump box, or a mat on edge that hides a whole disc while it passes. */
  carries: 'box' | 'mat' | null;
  look: LifterSpec;
}

/** Another bar that lies loaded and still behind the lifter, its end toward the camera. */
export interface LoadedBarSpec {
  kind: 'loaded bar';
  xM: number;
  yM: number;
  /** Near face of its outermost disc. */
  zM: number;
  /** From the collar outward. */
  discs: DiscSpec[];
}

/** A mirror on the back wall, in which the bar's far end goes up and down with the near one. */
export interface MirrorSpec {
  kind: 'mirror';
  xM: number;
  widthM: number;
  bottomM: number;
  topM: number;
}
