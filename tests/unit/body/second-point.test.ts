import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawScene } from '../../../demo-data/draw-scene.ts';
import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import { shotOf } from '../../../demo-data/scene/shot.ts';
import type { BodySpec } from '../../../demo-data/scene/spec.ts';
import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import { eventsOf } from '../../../demo-data/truth/events.ts';
import { jointsAt } from '../../../demo-data/truth/joints.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { followPointInClip } from '../../../electron/tracing/follow-point-in-clip.ts';
import { pointCourse } from '../../../shared-lib/body/point-course.ts';
import { followedWidthM } from '../../../shared-lib/body/joints.ts';
import { holdEndS, pointShifts } from '../../../shared-lib/body/point-shifts.ts';
import type { Joint } from '../../../shared-lib/contract/body.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { PointShift } from '../../../shared-lib/contract/second-point.ts';
import { exactCamera } from './rendered-bodies.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-point-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A rendered lift, its joint marked where it is at a moment, followed through the rep. */
async function follow(lift: Lift, seed: number, joint: Joint, body: BodySpec | undefined) {
  const spec = drawScene(seed, {
    lift,
    facing: 'right',
    plan: { leadS: 0.4, settleS: 0.6, holdS: 1.6, tailS: 0.2 },
    film: { widthPx: 960, heightPx: 540, grey: true },
    ...(body ? { body } : {}),
  });
  const { clip, truth } = await cachedClip(`${lift}-${joint}`, spec, folder);
  const motion = motionOf(spec);
  const events = eventsOf(motion, lift, 0);
  const tools = findTools();
  const media = await probeClip(clip, tools);
  const ptsS = truth.frames.map((f) => f.pts_s);
  const markS = joint === 'knee' ? events.lockoutS! : events.startS;
  const frame = truth.frames.findIndex((f) => f.t_s >= markS);
  const mark = jointsAt(spec, motion, shotOf(spec), truth.frames[frame].t_s)[joint];
  const metresPerPx = truth.disc.metres_per_px;
  const measured = await followPointInClip(
    {
      file: clip,
      ffmpeg: tools.ffmpeg,
      media,
      ptsS,
      mark: { frame, xPx: mark.xPx, yPx: mark.yPx },
      called: joint,
      widthM: followedWidthM[joint],
      from: 0,
      to: ptsS.length - 1,
      metresPerPx,
    },
    { signal: new AbortController().signal, onProgress: () => undefined },
  );
  const f0 = truth.frames[0];
  const course = pointCourse(
    exactCamera(spec),
    lift,
    joint,
    [f0.px, f0.py],
    truth.frames.map((f) => f.t_s),
    measured.map(({ xPx, yPx }) => (Number.isFinite(xPx) ? [xPx, yPx] : null)),
  );
  const endS = holdEndS(
    truth.frames.map((f) => f.t_s),
    truth.frames.map((f) => f.y_m),
    events.lockoutS!,
  );
  const shifts = pointShifts(course, events, lift, joint, endS);
  return shifts;
}

const at = (shifts: readonly PointShift[], when: PointShift['when']) => shifts.find((s) => s.when === when)!;

describe('a second point followed through rendered lifts', () => {
  it.each([11])(
    'finds knees that unlock by 2 cm after a deadlift’s lockout (%i)',
    async (seed) => {
      const unlocked = at(await follow('deadlift', seed, 'knee', { kneeUnlockM: 0.02 }), 'after lockout');
      expect(unlocked.forward.value).toBeGreaterThan(0.0165);
      expect(unlocked.forward.value).toBeLessThan(0.0235);
      expect(unlocked.forward.lo95).toBeGreaterThan(0);
      expect(unlocked.forward.hi95).toBeGreaterThan(0.02);
      const still = at(await follow('deadlift', seed, 'knee', undefined), 'after lockout');
      expect(Math.abs(still.forward.value)).toBeLessThan(0.006);
    },
    180_000,
  );

  it.each([21])(
    'finds heels that rise by 2 cm at a squat’s bottom (%i)',
    async (seed) => {
      const up = at(await follow('squat', seed, 'heel', { heelRiseM: 0.02 }), 'at the bottom');
      expect(up.up.value).toBeGreaterThan(0.0165);
      expect(up.up.value).toBeLessThan(0.0235);
      expect(up.up.lo95).toBeGreaterThan(0);
      expect(up.up.hi95).toBeGreaterThan(0.02);
      expect(up.sentence).toMatch(/^The heel moves .*up at the bottom\.$/);
      const flat = at(await follow('squat', seed, 'heel', undefined), 'at the bottom');
      expect(Math.abs(flat.up.value)).toBeLessThan(0.006);
    },
    180_000,
  );
});
