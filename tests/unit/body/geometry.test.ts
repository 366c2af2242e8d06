import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareBodies } from '../../../shared-lib/body/compare-bodies.ts';
import { withPlace } from '../../../shared-lib/body/place-change.ts';
import { placeNote } from '../../../shared-lib/pair/comparability.ts';
import { sentenceOf } from '../../../shared-lib/pair/sentences.ts';
import { hipsSentence, setUpSentences, startSentences } from '../../../shared-lib/body/set-up.ts';
import { cameraAboveBarM, viewSentences } from '../../../shared-lib/body/view-sentences.ts';
import { angleAt, bodyMeasure } from '../../../shared-lib/body/geometry.ts';
import type { BodyMoment } from '../../../shared-lib/body/measure-body.ts';
import type { BodyCamera } from '../../../shared-lib/body/body-camera.ts';

const deg = Math.PI / 180;

/** 3 m from a 0.45 m disc, square, 1000 px a metre of focal length at 1 m. */
const square: BodyCamera = {
  pose: {
    focalPx: 1800,
    cxPx: 959.5,
    cyPx: 539.5,
    normal: [0, 0, -1],
    distanceRadii: 3 / 0.225,
    thicknessRadii: 0.2,
    rings: [],
    sigma: { logFocal: 0.05, yawRad: 0.02, offSquareRad: 0.02, pitchRad: 0.01, size: 0.004 },
    offset: { dxPx: 0, dyPx: 0 },
    sideMargin: 20,
  },
  discM: 0.45,
  discSigma: 0.005,
  rollRad: 0,
  rollSigmaRad: 0.007,
  facing: 'right',
  picture: { widthPx: 1920, heightPx: 1080 },
  lens: undefined,
};

const bottom = (crease: number): BodyMoment => ({
  event: 'bottom',
  bar: [960, 500],
  marks: { 'hip crease': [900, crease], 'knee top': [1100, 760], hip: [880, 770], shoulder: [960, 520] },
});

describe('angles of the side view', () => {
  it('are what compass and ruler say', () => {
    expect(angleAt([0, 1], [0, 0], [1, 0])).toBeCloseTo(90 * deg, 12);
    expect(angleAt([0, 1], [0, 0], [0, -1])).toBeCloseTo(180 * deg, 12);
    const points = {
      hip: [0, 0],
      shoulder: [0.5, Math.sqrt(3) / 2],
      knee: [0.4, 0],
      ankle: [0.4, -0.4],
    } as const;
    expect(bodyMeasure('trunk_rad', 'squat', points)).toBeCloseTo(30 * deg, 12);
    expect(bodyMeasure('hip_rad', 'squat', points)).toBeCloseTo(60 * deg, 12);
    expect(bodyMeasure('knee_rad', 'squat', points)).toBeCloseTo(90 * deg, 12);
  });

  it('do not change when the lifter is turned, moved or scaled', () => {
    const point = fc.tuple(
      fc.double({ min: -1, max: 1, noNaN: true }),
      fc.double({ min: -1, max: 1, noNaN: true }),
    );
    fc.assert(
      fc.property(point, point, fc.double({ min: -3, max: 3, noNaN: true }), (a, c, turn) => {
        fc.pre(Math.hypot(...a) > 0.05 && Math.hypot(...c) > 0.05);
        const turned = ([x, y]: readonly [number, number]) =>
          [
            2 * (Math.cos(turn) * x - Math.sin(turn) * y) + 0.3,
            2 * (Math.sin(turn) * x + Math.cos(turn) * y) - 0.1,
          ] as const;
        expect(angleAt(turned(a), turned([0, 0]), turned(c))).toBeCloseTo(angleAt(a, [0, 0], c), 9);
      }),
    );
  });

  it('places the bar ahead of mid-foot, or of the shoulder on the bench', () => {
    expect(bodyMeasure('place_m', 'deadlift', { heel: [-0.18, 0], toe: [0.1, 0] })).toBeCloseTo(0.04, 12);
    expect(bodyMeasure('place_m', 'bench', { shoulder: [-0.12, -0.3] })).toBeCloseTo(0.12, 12);
    expect(bodyMeasure('place_m', 'squat', { heel: [0, 0] })).toBeNaN();
  });
});

describe('two bodies', () => {
  it('differ by what their marks differ by, more surely from one camera than from two', () => {
    const sides = {
      reference: { camera: square, moments: [bottom(760)], markSigmaPx: 2 },
      today: { camera: square, moments: [bottom(740)], markSigmaPx: 2 },
    };
    const crease = (sameCamera: boolean) =>
      compareBodies(sides, 'squat', sameCamera).changes.find(({ name }) => name === 'crease_m')!;
    const [one, two] = [crease(true), crease(false)];
    // 20 px at 3 m and 0.6 m behind the disc: 20 / 1800 * 3.6 = 4.0 cm.
    expect(one.change!.value).toBeCloseTo(0.0398, 3);
    // Four marks of 2 px each: 1.96 * 2 * 2 px * 1.99 mm.
    expect(one.change!.u95).toBeCloseTo(0.0156, 3);
    expect(one.change!.u95).toBeLessThan(two.change!.u95);
    expect(one.sentence).toMatch(
      /^Hip crease against top of knee at the bottom: 4\.0 ± 1\.[56] cm higher than/,
    );
  });

  it('say what is missing where one side lacks a mark, and nothing of what neither has', () => {
    const without = { ...bottom(740), marks: { hip: [880, 770], shoulder: [960, 520] } } as BodyMoment;
    const { changes } = compareBodies(
      {
        reference: { camera: square, moments: [bottom(760)] },
        today: { camera: square, moments: [without] },
      },
      'squat',
      false,
    );
    expect(changes.map(({ name }) => name)).toEqual(['trunk_rad', 'crease_m']);
    const [, crease] = changes;
    expect([crease.today, crease.change]).toEqual([null, null]);
    expect(crease.sentence).toContain('the other rep lacks its marks');
  });

  it('say that a far oblique view cannot judge', () => {
    const yaw = 40 * deg;
    const oblique = {
      ...square,
      pose: { ...square.pose, normal: [Math.sin(yaw), 0, -Math.cos(yaw)] as const },
    };
    const [change] = compareBodies(
      { reference: null, today: { camera: oblique, moments: [bottom(760)] } },
      'squat',
      false,
    ).changes;
    expect(change.today!.canJudge).toBe(false);
    expect(change.sentence).toContain('cannot be judged from this angle');
  });

  it('make a headline of where the bar starts over the foot, called like the others', () => {
    const start = (toePx: number): BodyMoment => ({
      event: 'start',
      bar: [960, 500],
      marks: { heel: [toePx - 140, 900], toe: [toePx, 900] },
    });
    const placed = (toePx: number) =>
      compareBodies(
        {
          reference: { camera: square, moments: [start(1000)], markSigmaPx: 2 },
          today: { camera: square, moments: [start(toePx)], markSigmaPx: 2 },
        },
        'deadlift',
        true,
      ).place!;
    // The foot 20 px farther toward the toes at 3 m and 0.55 m behind the disc: 20 / 1800 * 3.57 = 4.0 cm.
    const far = placed(1020);
    expect(far.change).toBeCloseTo(-0.0396, 3);
    expect(far.call).toBe('differs');
    expect(sentenceOf(far, 'deadlift')).toMatch(
      /^The bar started 4\.0.cm \(±.1\.\d\) further toward the heels\.$/,
    );
    // 2.64 sigma, a sixth of 5 %, of four marks of 2 px: 2.64 * 2 px * 1.97 mm, halved by two marks a foot, times √2.
    expect(far.u95).toBeGreaterThan(0.0092);
    expect(far.u95).toBeLessThan(0.0118);
    expect(placed(1001).call).toBe('no clear change');
    const pair = { lift: 'deadlift' as const, changes: [], notes: [placeNote('deadlift'), 'another'] };
    expect(withPlace(pair, far)).toEqual({ ...pair, changes: [far], notes: ['another'] });
    expect(withPlace(withPlace(pair, far), null)).toEqual(pair);
  });

  it('say how high the camera stood and how far the view alone can be off', () => {
    const { changes } = compareBodies(
      { reference: null, today: { camera: square, moments: [bottom(760)] } },
      'squat',
      false,
    );
    const measures = changes.map(({ today }) => today!);
    // The bar is 260 px under the middle of the picture: 260 / 1800 * 3 m.
    expect(cameraAboveBarM(square, [960, 799.5])).toBeCloseTo(0.433, 3);
    const [said] = viewSentences('Today’s rep', square, [960, 799.5], measures, 'squat');
    expect(said).toMatch(
      /^Today’s rep was filmed 0° off square, the camera 0\.4 m above the bar at the start\. With exact marks this view alone leaves open up to ± \d+° of trunk against upright and ± \d\.\d cm of hip crease/,
    );
    const yaw = 40 * deg;
    const pose = { ...square.pose, normal: [Math.sin(yaw), 0, -Math.cos(yaw)] as const };
    expect(viewSentences('Today’s rep', { ...square, pose }, [960, 540], [], 'squat').join(' ')).toMatch(
      /40° off square, the camera at the height of the bar at the start\. From so far off square no angle, depth or place of the body can be judged\./,
    );
  });

  it('say how the bar was set up, and what the clips do not show of it', () => {
    const measure = (value: number, u95: number, unit: string) => ({
      value,
      lo95: value - u95,
      hi95: value + u95,
      u95,
      unit,
    });
    const today = { settle_s: measure(0.82, 0.06, 's'), setup_sway_m: measure(0.0042, 0.0011, 'm') };
    const plain = (sentences: readonly string[]) => sentences.map((said) => said.replaceAll('\u00a0', ' '));
    expect(plain(setUpSentences('squat', { reference: { settle_s: null }, today }))).toEqual([
      'From the unrack the bar took to settle: 0.82 s (± 0.06) today.',
      'In the second before the start the bar swayed by 4.2 mm (± 1.1) today.',
    ]);
    expect(setUpSentences('deadlift', { reference: null, today: null })).toEqual([
      'Neither clip shows a whole second before the start: sway is not told.',
    ]);
  });

  it('says how high the hips are as the bar leaves the floor, and how far they rise with it', () => {
    const start = (hipPx: number): BodyMoment => ({
      event: 'start',
      bar: [960, 800],
      marks: { hip: [800, hipPx], shoulder: [960, 420] },
    });
    const side = (hipPx: number) => ({
      camera: square,
      moments: [start(hipPx), { ...start(hipPx), event: 'lockout' as const }],
    });
    const { changes } = compareBodies({ reference: side(620), today: side(590) }, 'deadlift', true);
    expect(changes.filter(({ name }) => name === 'hip_above_m').map(({ event }) => event)).toEqual(['start']);
    // 30 px at 3 m and 0.615 m behind the disc: 30 / 1800 * 3.615 = 6.0 cm.
    const said = startSentences(changes);
    expect(said.find((sentence) => sentence.startsWith('Hip against the bar'))).toMatch(
      /^Hip against the bar at the start: 6\.0 ± \d\.\d cm higher than in the reference\.$/,
    );
    const still = { value: 0, lo95: 0, hi95: 0, u95: 0, unit: 'm' };
    const up = { ...still, value: 0.062, u95: 0.009 };
    const path = { joint: 'hip' as const, fromFrame: 0, xPx: [], yPx: [], confidence: [] };
    const shifts = [{ when: 'as the bar leaves' as const, forward: still, up, sentence: '' }];
    expect(hipsSentence('Today', [{ ...path, shifts }], 0.034)).toEqual([
      'Today: in the first 0.3 s the bar rises 3.4 cm and the hip 6.2 cm ± 0.9 cm.',
    ]);
    expect(hipsSentence('Today', [{ ...path, joint: 'knee', shifts }], 0.034)).toEqual([]);
  });
});
