import type { ClipFile, PairFile, RepFileEntry } from '../contract/files.ts';
import type { LetterSection } from '../hand-back/written.ts';
import type { HeadlineSentence } from '../pair/headline-sentences.ts';

export type { HeadlineSentence };

/**
 * The bar through one rep: metres from the rep's own start, x forward, y up; real seconds on the clip's
 * clock; vertical velocity in m/s. All arrays have the same length; NaN where the bar was lost.
 */
export interface BarPath {
  tS: readonly number[];
  xM: readonly number[];
  yM: readonly number[];
  vyMps: readonly number[];
}

export type PhaseName = 'set-up' | 'descent' | 'pause' | 'drive' | 'hold';

/** Real seconds on the clip's clock. */
export interface Phase {
  name: PhaseName;
  fromS: number;
  toS: number;
}

/** An event by its word ("touch", "lockout", "slowest point", ...), real seconds on the clip's clock. */
export interface EventMark {
  name: string;
  tS: number;
}

export interface PageRep {
  clip: ClipFile;
  rep: RepFileEntry;
  path: BarPath;
  phases: readonly Phase[];
  events: readonly EventMark[];
}

/** Where 95 % of this lifter's ordinary reps pass: bounds of x at each height, metres. */
export interface PathBand {
  yM: readonly number[];
  loXM: readonly number[];
  hiXM: readonly number[];
}

export type PixelPath = readonly (readonly [xPx: number, yPx: number])[];

/**
 * Both pictures at one matched moment: base64 of JPEG files of one size, and the bar's way up to that
 * moment in their pixels. Both face as the reference does: mirror a clip filmed from the other side before.
 */
export interface StillPair {
  event: string;
  referenceJpeg: string;
  todayJpeg: string;
  widthPx: number;
  heightPx: number;
  referencePath: PixelPath;
  todayPath: PixelPath;
}

/** Both pictures at a cue's moment. */
export interface CueStill extends StillPair {
  cue: string;
  /** Real seconds since each clip's first frame. */
  atS: Record<'reference' | 'today', number>;
}

export interface PageInput {
  pair: PairFile;
  reference: PageRep;
  today: PageRep;
  /** In the order shown. */
  headlines: readonly HeadlineSentence[];
  /** What differs in the bodies as they were marked, a sentence each; empty where none was. */
  body: readonly string[];
  /** Empty where too few reference reps are known. */
  bands: readonly PathBand[];
  stills: readonly StillPair[];
  /** File name of the side-by-side film that lies beside the page; null when there is none. */
  filmFile: string | null;
  lifter: string | null;
  /** When each rep was filmed, YYYY-MM-DD as people said; null where nobody did. */
  days: Record<'reference' | 'today', string | null>;
  /** What is written to the lifter, section by section. */
  letter: readonly LetterSection[];
  cueStills: readonly CueStill[];
  /** Everything that was measured lies open under the letter; where a coach chose what matters it is folded. */
  recordOpen: boolean;
}
