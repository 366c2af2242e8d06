import type { Calibration, ClipCheck } from '../../../shared-lib/contract/clip.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import { sourceNames, type SourceDraw } from '../../../shared-lib/pair/sources.ts';

const rad = (deg: number) => (deg * Math.PI) / 180;

/** An ordinary phone clip: a gym disc of unmeasured size, no plumb line, eight degrees off square. */
export const calibration: Calibration = {
  discM: 0.45,
  discSigmaM: 0.0046,
  metresPerPx: 0.0025,
  rimScaleSigma: 0.002,
  offSquareRad: rad(8),
  offSquareSigmaRad: rad(2),
  rollRad: 0,
  rollSigmaRad: rad(0.5),
  plumb: 'none',
  facing: 'right',
  slowMotion: 1,
  slowMotionSource: 'none',
  seed: { ptsS: 0, xPx: 960, yPx: 540, source: 'found' },
};

export const timing: MeasuredClip['timing'] = {
  medianIntervalS: 1 / 60,
  unevenness: 1,
  decodedFrames: 300,
  duplicatedFrames: 0,
};

export const picture: MeasuredClip['picture'] = { widthPx: 1920, heightPx: 1080, rotationDeg: 0 };

/** No error at all, but for those given. */
export function errors(some: Partial<SourceDraw> = {}): SourceDraw {
  const none = Object.fromEntries(sourceNames.map((name) => [name, 0])) as SourceDraw;
  return { ...none, cameraDistanceM: 3, frameTimePeriodS: 1, ...some };
}

/** What a clip check says of a clip filmed 40 degrees off square, good but for the verdicts given. */
export const clipCheck = (verdicts: Partial<ClipCheck['verdicts']>): ClipCheck => ({
  offSquareDeg: 40,
  offSquareU95Deg: 2,
  rollDeg: 0,
  rollU95Deg: 1,
  shakePx: 0,
  fps: 60,
  unevenness: 1,
  duplicatedFrames: 0,
  blurPx: null,
  discDiameterPx: 200,
  hiddenShare: 0,
  verdicts: { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good', ...verdicts },
  advice: [],
});
