import type { ClipFile } from '../../../shared-lib/contract/clip.ts';
import type { Change } from '../../../shared-lib/contract/pair.ts';
import { nothingCoached, type Coaching } from '../../../shared-lib/contract/coaching.ts';
import type { PairFile, RepFileEntry } from '../../../shared-lib/contract/files.ts';
import { measureInfo, measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import { callOf } from '../../../shared-lib/pair/calls.ts';
import { eventsOf, phasesOf } from '../../../shared-lib/page/rep-drawing.ts';
import { letterOf } from '../../../shared-lib/hand-back/letter.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import { writtenSections } from '../../../shared-lib/hand-back/written.ts';
import { sentenceOf } from '../../../shared-lib/pair/sentences.ts';
import { whyOf, whyUndefined } from '../../../shared-lib/pair/why.ts';
import type {
  BarPath,
  PageInput,
  PageRep,
  PathBand,
  StillPair,
} from '../../../shared-lib/page/page-input.ts';

/** The smallest JPEG there is: one grey pixel. */
export const onePixelJpeg =
  '/9j/4AAQSkZJRgABAQEASABIAAD/2wBDAP//////////////////////////////////////////////////////////////////////////////////////wAALCAABAAEBAREA/8QAFAABAAAAAAAAAAAAAAAAAAAAA//EABQQAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQEAAD8AR//Z';

/** A bench press drawn by hand: seconds from the clip's start, metres, a sticking point in the drive. */
export interface Shape {
  startS: number;
  descentS: number;
  pauseS: number;
  driveS: number;
  depthM: number;
  /** Toward the feet at touch and at lockout. */
  touchXM: number;
  lockoutXM: number;
  /** How far the drive bends toward the head. */
  bowM: number;
  /** How much the middle of the drive slows, 0 to 1. */
  stick: number;
}

export const referenceShape: Shape = {
  startS: 1.4,
  descentS: 1.72,
  pauseS: 0.62,
  driveS: 1.48,
  depthM: 0.382,
  touchXM: 0.071,
  lockoutXM: -0.004,
  bowM: 0.012,
  stick: 0.62,
};
export const todayShape: Shape = {
  startS: 1.1,
  descentS: 1.28,
  pauseS: 0.48,
  driveS: 2.06,
  depthM: 0.379,
  touchXM: 0.098,
  lockoutXM: 0.004,
  bowM: -0.006,
  stick: 0.74,
};

const smooth = (u: number) => u * u * u * (10 - 15 * u + 6 * u * u);

/** Share of the drive's time at which it is slowest. */
export const slowestAt = 0.44;
const steps = 2000;

/** The drive's velocity at share u of its time, unscaled: rest at both ends and a dip between. */
const pushed = (u: number, stick: number) =>
  Math.sin(Math.PI * u) ** 0.9 * (1 - stick * Math.exp(-(((u - slowestAt) / 0.13) ** 2)));

const heights = new Map<number, number[]>();
/** Height done at share u of the drive's time, 0 to 1: the velocity summed by the trapezium rule. */
function risen(u: number, stick: number): number {
  let sums = heights.get(stick);
  if (!sums) {
    sums = [0];
    for (let i = 1; i <= steps; i++) {
      sums.push(sums[i - 1] + (pushed((i - 1) / steps, stick) + pushed(i / steps, stick)) / 2 / steps);
    }
    heights.set(stick, sums);
  }
  const at = Math.min(steps - 1, Math.floor(u * steps));
  return (sums[at] + (sums[at + 1] - sums[at]) * (u * steps - at)) / sums[steps];
}

/** Velocity at the slowest point, m/s. */
const slowestMps = (s: Shape) => {
  const h = 1e-3;
  return ((risen(slowestAt + h, s.stick) - risen(slowestAt - h, s.stick)) / (2 * h)) * (s.depthM / s.driveS);
};

const barOf = (s: Shape, tS: number): [number, number] => {
  const [touch, drive] = [s.startS + s.descentS, s.startS + s.descentS + s.pauseS];
  if (tS <= s.startS) return [0.0015 * Math.sin(4 * tS), 0];
  if (tS < touch) {
    const u = smooth((tS - s.startS) / s.descentS);
    return [s.touchXM * u + 0.01 * Math.sin(Math.PI * u), -s.depthM * u];
  }
  if (tS <= drive) return [s.touchXM, -s.depthM];
  const u = Math.min(1, (tS - drive) / s.driveS);
  const h = risen(u, s.stick);
  return [s.touchXM + (s.lockoutXM - s.touchXM) * h - s.bowM * Math.sin(Math.PI * h), -s.depthM * (1 - h)];
};

export function barPath(s: Shape, fps = 60): BarPath {
  const endS = s.startS + s.descentS + s.pauseS + s.driveS + 1;
  const tS = Array.from({ length: Math.round(endS * fps) }, (_, i) => i / fps);
  const points = tS.map((t) => barOf(s, t));
  const vyMps = tS.map((t) => ((barOf(s, t + 0.004)[1] - barOf(s, t - 0.004)[1]) / 0.008) * 1);
  return { tS, xM: points.map((p) => p[0]), yM: points.map((p) => p[1]), vyMps };
}

export function clipFile(file: string, change: Partial<ClipFile['check']> = {}): ClipFile {
  return {
    schema: 1,
    media: {
      file,
      bytes: 12_482_113,
      sha256: '0'.repeat(64),
      container: 'mov,mp4',
      codec: 'h264',
      bitDepth: 8,
      widthPx: 1080,
      heightPx: 1920,
      rotationDeg: 90,
      pixelAspect: 1,
      transfer: 'bt709',
      hasAudio: true,
      declaredFrames: 392,
      durationS: 6.53,
      nominalFps: 60,
      captureFps: null,
    },
    timing: {
      decodedFrames: 392,
      partial: false,
      firstPtsS: 0,
      lastPtsS: 6.517,
      medianIntervalS: 1 / 60,
      unevenness: 1.02,
      duplicatedFrames: 0,
    },
    calibration: {
      discM: 0.45,
      discSigmaM: 0.004,
      metresPerPx: 0.00098,
      rimScaleSigma: 0.003,
      offSquareRad: 0.16,
      offSquareSigmaRad: 0.03,
      rollRad: 0.01,
      rollSigmaRad: 0.007,
      plumb: 'proposed',
      facing: 'right',
      slowMotion: 1,
      slowMotionSource: 'none',
      seed: { ptsS: 0.5, xPx: 540, yPx: 800, source: 'found' },
    },
    check: {
      offSquareDeg: 9.2,
      offSquareU95Deg: 3.4,
      rollDeg: 0.6,
      rollU95Deg: 0.8,
      shakePx: 0.4,
      fps: 59.94,
      unevenness: 1.02,
      duplicatedFrames: 0,
      blurPx: 5.2,
      discDiameterPx: 459,
      hiddenShare: 0.03,
      verdicts: { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good' },
      advice: [],
      ...change,
    },
    smoothing: { method: 'Butterworth low-pass, second order, forward and backward', cutoffHz: 6.2 },
    notes: [],
  };
}

function repEntry(s: Shape, values: Partial<Record<MeasureName, number>>): RepFileEntry {
  const touch = s.startS + s.descentS;
  const drive = touch + s.pauseS;
  const measures = Object.fromEntries(
    measureNames.map((name) => {
      const value = values[name];
      if (value === undefined) return [name, null];
      return [
        name,
        { value, lo95: value - 0.01, hi95: value + 0.01, u95: 0.01, unit: measureInfo[name].unit },
      ];
    }),
  ) as RepFileEntry['measures'];
  return {
    rep: 1,
    start_s: s.startS,
    touch_s: touch,
    bottom_s: touch + 0.1,
    pause_start_s: touch,
    pause_end_s: drive,
    drive_start_s: drive,
    lockout_s: drive + s.driveS,
    outcome: { kind: 'completed' },
    earlier_attempts: 0,
    rebound: false,
    measures,
  };
}

function pageRep(s: Shape, clip: ClipFile, values: Partial<Record<MeasureName, number>>): PageRep {
  const path = barPath(s);
  const rep = repEntry(s, values);
  return {
    clip,
    rep,
    path,
    phases: phasesOf('bench', rep, { fromS: 0, toS: (rep.lockout_s ?? 0) + 0.9 }),
    events: eventsOf('bench', rep, path),
  };
}

type Numbers = [name: MeasureName, reference: number | null, today: number | null, u95: number];
const numbers: Numbers[] = [
  ['drift_bottom_m', 0.071, 0.098, 0.009],
  ['drift_lockout_m', -0.004, 0.004, 0.009],
  ['descent_s', 1.72, 1.28, 0.05],
  ['pause_s', 0.62, 0.48, 0.06],
  ['bow_m', -0.012, 0.006, 0.021],
  ['slowest_mps', slowestMps(referenceShape), slowestMps(todayShape), 0.055],
  ['rom_m', 0.382, 0.379, 0.007],
  ['drive_s', 1.48, 2.06, 0.05],
  ['mean_drive_mps', 0.258, 0.184, 0.008],
  ['peak_drive_mps', 0.41, 0.37, 0.02],
  ['slowest_height_pct', 52, 47, 6],
  ['sticking_mps', slowestMps(referenceShape), slowestMps(todayShape), 0.018],
  ['sticking_drop_mps', null, 0.22, 0.03],
  ['peak_descent_mps', 0.42, 0.56, 0.02],
  ['sink_m', 0.002, 0.004, 0.0031],
  ['fall_m', 0, 0, 0.0025],
  ['drift_max_m', 0.079, 0.104, 0.009],
  ['drift_min_m', -0.006, -0.001, 0.008],
  ['first_angle_rad', 0.21, 0.34, 0.09],
  ['sag_m', 0.003, 0.006, 0.0042],
  ['hold_sway_m', 0.0021, 0.0034, 0.0012],
];

function change([name, reference, today, u95]: Numbers, call: Change['call'], why: string): Change {
  const both = reference !== null && today !== null;
  const difference = both ? today - reference : null;
  return {
    name,
    unit: measureInfo[name].unit,
    reference,
    today,
    change: difference,
    lo95: difference === null ? null : difference - u95,
    hi95: difference === null ? null : difference + u95,
    u95: difference === null ? null : u95,
    call,
    why,
  };
}

/** The first six measures are called, as the program calls them for a pair without a band. */
function changes(): Change[] {
  return numbers.map((n, i) => {
    const bare = change(n, null, '');
    const { delta } = measureInfo[n[0]];
    if (bare.change === null)
      return { ...bare, why: whyUndefined(n[0], texts.measures.labels[n[0]], bare.reference, bare.today) };
    const d: [number, number] = [bare.lo95 ?? 0, bare.hi95 ?? 0];
    const input = { change: bare.change, d, l: null, delta, ruledOut: false };
    const call = i < 6 ? callOf(input) : null;
    return { ...bare, call, why: whyOf(call, input, n[0]) };
  });
}

export interface Pictures {
  jpeg: (which: 'reference' | 'today', event: string, path: [number, number][]) => string;
  widthPx: number;
  heightPx: number;
}
const greyPictures: Pictures = { jpeg: () => onePixelJpeg, widthPx: 360, heightPx: 480 };

/** Where the bar is in a picture of the fixture: 460 px a metre, start a third from the top. */
const inPicture = (xM: number, yM: number, p: Pictures): [number, number] => [
  p.widthPx * 0.45 + xM * 460,
  p.heightPx * 0.3 - yM * 460,
];

function stillPairs(reference: PageRep, today: PageRep, p: Pictures): StillPair[] {
  return ['start', 'touch', 'slowest point', 'lockout'].map((event) => {
    const way = (rep: PageRep) => {
      const endS = rep.events.find((e) => e.name === event)?.tS ?? 0;
      const fromS = rep.rep.start_s ?? 0;
      return rep.path.tS.flatMap((t, i) =>
        t >= fromS - 0.02 && t <= endS ? [inPicture(rep.path.xM[i], rep.path.yM[i], p)] : [],
      );
    };
    const [referencePath, todayPath] = [way(reference), way(today)];
    return {
      event,
      referenceJpeg: p.jpeg('reference', event, referencePath),
      todayJpeg: p.jpeg('today', event, todayPath),
      widthPx: p.widthPx,
      heightPx: p.heightPx,
      referencePath,
      todayPath,
    };
  });
}

/** A made-up band round the reference's drive: two centimetres to either side, one at the ends. */
function pathBand(rep: PageRep): PathBand {
  const { path } = rep;
  const drive = rep.phases.find((p) => p.name === 'drive');
  const at = path.tS.flatMap((t, i) => (drive && t >= drive.fromS && t <= drive.toS ? [i] : []));
  const half = (i: number) => 0.01 + 0.01 * Math.sin((-Math.PI * path.yM[i]) / 0.382);
  return {
    yM: at.map((i) => path.yM[i]),
    loXM: at.map((i) => path.xM[i] - half(i)),
    hiXM: at.map((i) => path.xM[i] + half(i)),
  };
}

/** What the coach says of the fixture's pair. */
export const benchPressCoaching: Coaching = {
  ...nothingCoached,
  cues: [
    {
      id: 'n1',
      text: 'Take two full seconds to the chest.',
      aim: { kind: 'measure', measure: 'descent_s', wanted: 'more' },
      moment: { side: 'today', tS: 2.38 },
    },
    {
      id: 'n2',
      text: 'Touch where you touched in practice, a hand’s breadth below the shoulder line.',
      aim: { kind: 'measure', measure: 'drift_bottom_m', wanted: 'less' },
      moment: { side: 'today', tS: 2.4 },
    },
  ],
};

export function benchPressLetter(
  pair: PairFile,
  reps: Pick<PageInput, 'reference' | 'today'>,
  coaching: Partial<Coaching> = {},
): PageInput['letter'] {
  const said = { asked: 'Why does it stall?', coaching: { ...benchPressCoaching, ...coaching } };
  const parts = letterOf({ ...reps, pair, said, earlier: [], notComparable: [] });
  return writtenSections(parts, said.coaching.handBack.said);
}

/** A bench press pair of an invented lifter of the Harbour Lane Barbell Club. */
export function benchPressPage(pictures: Pictures = greyPictures): PageInput {
  const list = changes();
  const value = (k: 1 | 2) => Object.fromEntries(numbers.map((n) => [n[0], n[k] ?? undefined]));
  const reference = pageRep(referenceShape, clipFile('bench-practice-90.mp4'), value(1));
  const today = pageRep(
    todayShape,
    clipFile('bench-single-95.mp4', {
      offSquareDeg: 17.5,
      hiddenShare: 0.11,
      verdicts: { drift: 'poor', vertical: 'good', velocity: 'good', tempo: 'good' },
      advice: [
        'The camera looks 17 degrees off square. Stand it so that it faces the end of the bar, well outside the spotters’ space.',
        'A spotter hides the disc for 11 % of the rep. Film from the other side, or from a little higher; the spotter does not move for the picture.',
      ],
    }),
    value(2),
  );
  const stills = stillPairs(reference, today, pictures);
  const pair: PairFile = {
    schema: 1,
    lift: 'bench',
    reference: { clip: 'bench-practice-90.mp4', rep: 1, loadKg: 90 },
    today: { clip: 'bench-single-95.mp4', rep: 1, loadKg: 95 },
    sameCamera: false,
    knots: [],
    smoothing: { method: 'Butterworth low-pass, second order, forward and backward', cutoffHz: 6.2 },
    draws: 1000,
    notes: [
      'Where the bar starts over the shoulder was not judged: no landmark is marked in these clips.',
      'The loads are 5.6 % apart; path and speed change with load.',
    ],
    changes: list,
  };
  return {
    pair,
    reference,
    today,
    headlines: list.slice(0, 6).map((c) => ({
      name: c.name,
      sentence: sentenceOf(c, 'bench'),
      call: c.call,
      delta: measureInfo[c.name as MeasureName].delta,
    })),
    body: [],
    bands: [pathBand(reference)],
    stills,
    filmFile: 'side-by-side.mp4',
    lifter: 'Ines Calder, Harbour Lane Barbell Club',
    days: { reference: null, today: null },
    letter: benchPressLetter(pair, { reference, today }),
    cueStills: [{ ...stills[1], cue: 'n1', atS: { reference: 3.12, today: 2.38 } }],
    recordOpen: true,
  };
}
