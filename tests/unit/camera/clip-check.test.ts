import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkClip, type ClipCheckInput } from '../../../shared-lib/camera/clip-check.ts';
import { toBarPlane, type BarPlaneOptions } from '../../../shared-lib/camera/rectify.ts';
import { clipCheckSchema, type ClipCheck } from '../../../shared-lib/contract/clip.ts';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { filmPath, widePath, type Camera } from './pinhole.ts';

const good: Camera = { distanceM: 3.5, focalPx: 1500, yawDeg: 0, pitchDeg: 0, rollDeg: 0 };
const options: BarPlaneOptions = {
  discM: 0.45,
  discSigmaM: 0.001,
  plumb: [100, 900, 100, 100],
  facing: 'right',
  slowMotion: 1,
  slowMotionSource: 'none',
  seed: { ptsS: 0, xPx: 0, yPx: 0, source: 'found' },
};
const timing = {
  decodedFrames: 90,
  partial: false,
  firstPtsS: 0,
  lastPtsS: 89 / 60,
  medianIntervalS: 1 / 60,
  unevenness: 1,
  duplicatedFrames: 0,
};

/** A filmed path checked, with what a test changes about it. */
function check(change: {
  camera?: Partial<Camera>;
  options?: Partial<BarPlaneOptions>;
  timing?: Partial<typeof timing>;
  input?: Partial<ClipCheckInput>;
  hide?: (i: number) => boolean;
  repeated?: number[];
  shake?: (i: number) => { txPx: number; tyPx: number };
}): ClipCheck {
  const trace = filmPath({ ...good, ...change.camera }, widePath);
  trace.samples.forEach((s, i) => {
    if (change.hide?.(i)) s.state = 'bridged';
    if (change.shake) s.camera = { ...stillCamera, ...change.shake(i) };
  });
  if (change.repeated) trace.repeated = change.repeated;
  const { plane, calibration } = toBarPlane(trace, { ...options, ...change.options });
  const input: ClipCheckInput = {
    trace,
    plane,
    calibration,
    timing: { ...timing, ...change.timing },
    media: { widthPx: 1920, heightPx: 1080 },
    reps: [{ fromS: 0, toS: 89 / 60 }],
    peakSpeedMps: 0.6,
    exposureS: 1 / 250,
    ...change.input,
  };
  return clipCheckSchema.parse(checkClip(input));
}

const allGood = { drift: 'good', vertical: 'good', velocity: 'good', tempo: 'good' };

describe('checkClip', () => {
  it('finds nothing to say about a well filmed clip', () => {
    const c = check({});
    expect(c.verdicts).toEqual(allGood);
    expect(c.advice).toEqual([]);
    expect(c.fps).toBeCloseTo(60, 9);
    // 0.45 m at 3.5 m through 1500 px: 192.9 px; 0.6 m/s for 4 ms is 2.4 mm or 1.03 px.
    expect(c.discDiameterPx).toBeCloseTo(192.9, 1);
    expect(c.blurPx).toBeCloseTo(1.03, 2);
    expect(c.rollU95Deg).toBeCloseTo(1.96 * Math.hypot(0.2, (Math.SQRT2 / 800) * (180 / Math.PI)), 6);
    expect(c.shakePx).toBe(0);
  });

  it('lets drift go beyond 35 degrees off square, while tempo still holds', () => {
    expect(check({ camera: { yawDeg: 15 } }).verdicts).toEqual(allGood);
    expect(check({ camera: { yawDeg: 27 } }).verdicts).toEqual({ ...allGood, drift: 'poor' });
    const c = check({ camera: { yawDeg: 38 } });
    expect(c.offSquareDeg).toBeCloseTo(38, 0);
    expect(c.verdicts).toEqual({ drift: 'cannot carry', vertical: 'poor', velocity: 'poor', tempo: 'good' });
    expect(c.advice[0]).toContain('38 degrees off square');
  });

  it('needs a disc of 60 pixels, and gives up under 30', () => {
    expect(check({ camera: { focalPx: 400 } }).verdicts).toMatchObject({
      drift: 'poor',
      velocity: 'poor',
      tempo: 'good',
    });
    const c = check({ camera: { focalPx: 200 } });
    expect(c.verdicts).toEqual({
      drift: 'cannot carry',
      vertical: 'cannot carry',
      velocity: 'cannot carry',
      tempo: 'poor',
    });
    expect(c.advice.join(' ')).toContain('only 26 pixels across');
  });

  it('takes a disc for hidden where something covers it, not where a picture is shown again', () => {
    const again = Array.from({ length: 18 }, (_, k) => 5 * k + 2);
    const isAgain = new Set(again);
    const hide = (i: number) => isAgain.has(i) || (i >= 40 && i < 52);
    expect(check({ hide }).verdicts).toMatchObject({ drift: 'poor', velocity: 'poor' });
    expect(check({ hide, repeated: again }).verdicts).toEqual(allGood);
  });

  it('counts different pictures in real time: slow motion brings more, repeated frames bring none', () => {
    const slow = check({
      options: { slowMotion: 8, slowMotionSource: 'user' },
      timing: { medianIntervalS: 1 / 30 },
    });
    expect(slow.fps).toBeCloseTo(240, 9);
    const doubled = check({ timing: { duplicatedFrames: 45 } });
    expect(doubled.fps).toBeCloseTo(30, 9);
    expect(doubled.verdicts).toEqual({ ...allGood, velocity: 'poor', tempo: 'poor' });
    expect(check({ timing: { medianIntervalS: 1 / 22 } }).verdicts.velocity).toBe('poor');
    expect(check({ timing: { medianIntervalS: 1 / 15 } }).verdicts.velocity).toBe('cannot carry');
    expect(check({ timing: { unevenness: 2 } }).verdicts).toEqual({ ...allGood, velocity: 'poor' });
  });

  it('looks for the hidden share inside the reps only', () => {
    const hide = (i: number) => i < 30;
    expect(check({ hide }).hiddenShare).toBeCloseTo(30 / 90, 9);
    expect(check({ hide, input: { reps: [{ fromS: 0.499, toS: 2 }] } }).hiddenShare).toBe(0);
    expect(check({ hide, input: { reps: [] } }).hiddenShare).toBeCloseTo(30 / 90, 9);
    const c = check({ hide: (i) => i % 5 !== 0 });
    expect(c.hiddenShare).toBeCloseTo(0.8, 9);
    expect(new Set(Object.values(c.verdicts))).toEqual(new Set(['cannot carry']));
  });

  it('gives shake about its own mean, and says that it is not all gone', () => {
    // A square wave of 40 px about an offset of 100: RMS 40.
    const c = check({ shake: (i) => ({ txPx: 100 + (i % 2 ? 40 : -40), tyPx: 7 }) });
    expect(c.shakePx).toBeCloseTo(40, 9);
    expect(c.verdicts.drift).toBe('poor');
    expect(c.advice.join(' ')).toContain('moved by 40 pixels');
  });

  it('judges no blur where the shutter is unknown', () => {
    expect(check({ input: { exposureS: null } }).blurPx).toBeNull();
    expect(check({ input: { exposureS: null } }).verdicts).toEqual(allGood);
    // 2 m/s for a thirtieth of a second smears over 28.6 px of a disc of 193.
    const c = check({ input: { peakSpeedMps: 2, exposureS: 1 / 30 } });
    expect(c.blurPx).toBeCloseTo(28.57, 1);
    expect(c.verdicts.velocity).toBe('good');
    expect(check({ input: { peakSpeedMps: 2.5, exposureS: 1 / 30 } }).verdicts.velocity).toBe('poor');
  });

  it('never advises filming without saying what is never done for a clip', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 50 }),
        fc.integer({ min: 100, max: 1500 }),
        fc.integer({ min: 8, max: 60 }),
        (yawDeg, focalPx, fps) => {
          const c = check({ camera: { yawDeg, focalPx }, timing: { medianIntervalS: 1 / fps } });
          const faultless = Object.values(c.verdicts).every((v) => v === 'good');
          const text = c.advice.join(' ');
          expect(c.advice.length === 0).toBe(faultless);
          if (faultless) return;
          expect(text).toContain('well outside the drop and spotting zones');
          expect(text).toContain('never altered for filming');
          expect(text).toContain('spotters never move for the view');
          expect(text).toContain('never repeated for a clip');
        },
      ),
      { numRuns: 30 },
    );
  });

  it('asks for a plumb line, without which drift is poor, and tells of a damaged file', () => {
    const { facing, slowMotion, slowMotionSource, seed, discM, discSigmaM } = options;
    const without = { facing, slowMotion, slowMotionSource, seed, discM, discSigmaM };
    const trace = filmPath(good, widePath);
    const { plane, calibration } = toBarPlane(trace, without);
    const media = { widthPx: 1920, heightPx: 1080 };
    const c = checkClip({
      trace,
      plane,
      calibration,
      timing: { ...timing, partial: true },
      media,
      reps: [],
      peakSpeedMps: null,
      exposureS: null,
    });
    expect(c.advice.join(' ')).toMatch(/plumb line.*damaged/);
    expect(c.rollU95Deg).toBeCloseTo(1.96, 9);
    // Drift stands on what is up, and nothing else does.
    expect(c.verdicts).toMatchObject({ drift: 'poor', vertical: 'good', velocity: 'good' });
  });
});
