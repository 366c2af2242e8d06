import { steadyPixel } from '../../shared-lib/body/body-camera.ts';
import { followedWidthM } from '../../shared-lib/body/joints.ts';
import { pointCourse } from '../../shared-lib/body/point-course.ts';
import { holdEndS, pointShifts } from '../../shared-lib/body/point-shifts.ts';
import type { Review } from '../../shared-lib/contract/review.ts';
import type { PointMark, PointPath } from '../../shared-lib/contract/second-point.ts';
import { nearestFrame } from '../../shared-lib/motion/frame-times.ts';
import { followPointInClip } from '../tracing/follow-point-in-clip.ts';
import type { BodyRep } from './body-rep.ts';
import type { Job } from './follow-clip.ts';
import type { Desk } from './handlers.ts';

/** A second point followed through a rep, and how far it shifted where coaches look for it. */
export async function followedPoint(
  desk: Desk,
  review: Review,
  { side, followed, rep, tS, camera }: BodyRep,
  mark: PointMark,
  job: Job,
): Promise<PointPath> {
  const { trace, media, calibration } = followed;
  const from = Math.min(mark.frame, nearestFrame(tS, rep.window.fromS));
  const to = Math.max(mark.frame, nearestFrame(tS, rep.window.toS));
  const key = { sha256: side.clip.sha256, mark, from, to };
  const places = await desk.results.of('point', key, job, (shared) =>
    followPointInClip(
      {
        file: followed.file,
        ffmpeg: desk.tools().ffmpeg,
        media,
        ptsS: trace.samples.map(({ ptsS }) => ptsS),
        mark,
        called: mark.joint,
        widthM: followedWidthM[mark.joint],
        from,
        to,
        metresPerPx: calibration.metresPerPx,
      },
      shared,
    ),
  );
  const samples = trace.samples.slice(from, to + 1);
  const bar = samples.find(({ state }) => state !== 'lost');
  const steady = (i: number, xPx: number, yPx: number) => steadyPixel(camera, samples[i].camera, xPx, yPx);
  const course =
    bar &&
    pointCourse(
      camera,
      review.lift,
      mark.joint,
      steadyPixel(camera, bar.camera, bar.xPx, bar.yPx),
      tS.slice(from, to + 1),
      places.map(({ xPx, yPx }, i) => (Number.isFinite(xPx) ? steady(i, xPx, yPx) : null)),
    );
  const { lockoutS } = rep.events;
  const barTS = Array.from(followed.plane.tS);
  const endS = lockoutS === null ? rep.window.toS : holdEndS(barTS, Array.from(followed.plane.yM), lockoutS);
  const orNull = (v: number) => (Number.isFinite(v) ? v : null);
  return {
    joint: mark.joint,
    fromFrame: from,
    xPx: places.map(({ xPx }) => orNull(xPx)),
    yPx: places.map(({ yPx }) => orNull(yPx)),
    confidence: places.map(({ confidence }) => confidence),
    shifts: course ? pointShifts(course, rep.events, review.lift, mark.joint, endS) : [],
  };
}
