import { capturedFps, over, type Condition } from './conditions.ts';

const deg = Math.PI / 180;

/** What phones do to a film: how it is exposed and read, through which lens, and which frames reach the file. */
export const filmConditions: readonly Condition[] = [
  {
    name: 'rolling read-out',
    group: 'readout',
    weight: 1.6,
    apply: (r, s) =>
      over(s, 'film', { readOutS: Math.min(r.uniform(0.005, 0.03), 0.95 / capturedFps(s.film)) }),
  },
  {
    name: 'bending lens',
    group: 'lens',
    weight: 1,
    apply: (r, s) => over(s, 'camera', { lensK1: r.uniform(-0.1, -0.02), lensK2: r.uniform(0, 0.02) }),
  },
  {
    name: 'wide and near',
    group: 'place',
    weight: 0.7,
    // The wide lens of a phone is seldom straight; the disc is large in the picture from so near.
    apply: (r, s) =>
      over(s, 'camera', {
        distanceM: r.uniform(2.3, 2.7),
        lensK1: r.uniform(-0.06, 0),
        aimRightM: r.uniform(-0.5, 0.5),
      }),
  },
  {
    name: 'sweep',
    group: 'camera',
    weight: 0.8,
    apply: (r, s) =>
      over(s, 'camera', {
        sweepPanRad: r.pick([-1, 1] as const) * r.uniform(1, 3) * deg,
        sweepTiltRad: r.uniform(-1, 1) * deg,
        shakePx: Math.max(s.camera.shakePx, r.uniform(0.5, 2)),
      }),
  },
  {
    name: 'shaky hand',
    group: 'camera',
    weight: 0.8,
    apply: (r, s) => over(s, 'camera', { shakePx: r.uniform(5, 8) }),
  },
  {
    name: 'zoom drift',
    group: 'lens',
    weight: 0.5,
    apply: (r, s) => over(s, 'camera', { zoomDrift: r.uniform(0.002, 0.005) }),
  },
  {
    name: 'flicker',
    group: 'lamps',
    weight: 0.8,
    apply: (r, s) =>
      over(s, 'film', {
        flicker: r.uniform(0.05, 0.3),
        flickerHz: r.pick([100, 120] as const),
        shutter: Math.min(s.film.shutter, r.uniform(0.05, 0.25)),
        readOutS: Math.min(r.uniform(0.008, 0.025), 0.95 / capturedFps(s.film)),
      }),
  },
  {
    name: 'exposure ramp',
    group: 'lamps',
    weight: 0.8,
    apply: (r, s) =>
      over(s, 'film', {
        exposureRamp: {
          atS: r.uniform(0.5, 2.5),
          overS: r.uniform(0.3, 0.7),
          factor: r.uniform(1.2, 1.6) ** r.pick([-1, 1] as const),
        },
      }),
  },
  {
    name: 'white clip',
    group: 'light',
    weight: 0.6,
    apply: (r, s) => over(s, 'film', { exposure: r.uniform(2, 3) }),
  },
  {
    name: 'repeated frames',
    group: 'frames',
    weight: 0.7,
    apply: (r, s) => over(s, 'film', { repeatShare: r.uniform(0.03, 0.15) }),
  },
  {
    name: 'converted rate',
    group: 'frames',
    weight: 0.6,
    // Every fifth picture is shown twice, as from 24 to 30 frames a second.
    fits: (s) => s.film.slowMotion === 1 && s.film.fps <= 60,
    apply: (_r, s) => over(s, 'film', { convertedFromFps: 0.8 * s.film.fps }),
  },
  {
    name: 'missing frames',
    group: 'frames',
    weight: 0.7,
    // The slow-motion tag and uneven time stamps do not go together in the coder's input.
    fits: (s) => s.film.slowMotion === 1,
    apply: (r, s) => over(s, 'film', { dropShare: r.uniform(0.02, 0.1) }),
  },
];
