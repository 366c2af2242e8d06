import { project } from '../../../demo-data/scene/camera.ts';
import { layoutOf, inScene } from '../../../demo-data/scene/layout.ts';
import { shotOf } from '../../../demo-data/scene/shot.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import { streamOf } from '../../../demo-data/suite/streams.ts';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import type { FollowedClip } from '../../../electron/desk/calibrated-clip.ts';
import { repsOfClip } from '../../../electron/desk/clip-reps.ts';
import { discMeasured, discUnmeasured } from '../../../shared-lib/camera/disc-size.ts';
import { toBarPlane } from '../../../shared-lib/camera/rectify.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import { followedOf } from '../followed-clips.ts';
import { scoreTrace } from '../score-path.ts';
import { matched } from '../score-reps.ts';
import { leaning } from './nuisances.ts';

/** A film to be made, and what the user says of it. */
export interface Filmed {
  name: string;
  spec: SceneSpec;
  /** What the user measured; null where the disc is taken as unmeasured. */
  discMm: number | null;
  /** How far the plumb line that the user draws is off, radians; null without one. */
  plumbErrorRad: number | null;
}

/** A film as the program measures it, and the truth. */
export interface MeasuredFilm {
  clip: MeasuredClip;
  /** Of each true rep the one found, from 0. */
  reps: number[];
  followed: FollowedClip;
  truth: Truth;
}

/**
 * Films, follows and measures as the program does.
 *
 * @throws where the wrong disc is followed or a rep is missed
 */
export async function measuredFilm(
  { name, spec, discMm, plumbErrorRad }: Filmed,
  cache: string,
  fresh: boolean,
): Promise<MeasuredFilm> {
  const { clip, truth } = await cachedClip(name, spec, cache);
  const seen = await followedOf(clip, truth, fresh);
  const { widthPx } = seen.media;
  const uprights = leaning(seen.trace.uprights ?? [], widthPx, streamOf(spec.seed, 'uprights'));
  const followed = { ...seen, trace: { ...seen.trace, uprights } };
  if (scoreTrace(followed.trace, truth).wrong) throw new Error(`${name}: the wrong disc is followed`);
  const metres = toBarPlane(followed.trace, {
    ...(discMm === null ? discUnmeasured : discMeasured(discMm)),
    ...(plumbErrorRad === null ? {} : { plumb: plumbLine(spec, plumbErrorRad) }),
    picture: followed.media,
    facing: truth.facing,
    slowMotion: 1,
    slowMotionSource: 'none',
    seed: followed.calibration.seed,
  });
  const inMetres = { ...followed, ...metres };
  const { measured, reps } = repsOfClip(inMetres, spec.lift);
  const found = matched(reps, truth.reps);
  if (found.length < truth.reps.length) throw new Error(`${name}: a rep is missed`);
  return { clip: measured, reps: found.map(({ rep }) => reps.indexOf(rep)), followed: inMetres, truth };
}

/** The picture of an upright beside the bar in the first frame, as a user marks it: off by an angle. */
function plumbLine(spec: SceneSpec, errorRad: number): [number, number, number, number] {
  const camera = shotOf(spec).cameraAt(0);
  const layout = layoutOf(spec);
  // Half a metre of it, at the height the camera looks at, on the near side of a rack.
  const reach = -camera.at[2] / camera.forward[2];
  const y = camera.at[1] + camera.forward[1] * reach;
  const [low, high] = [-0.25, 0.25].map((up) => project(camera, inScene(layout, 0, y + up, -0.3)));
  const [dx, dy] = [high.xPx - low.xPx, high.yPx - low.yPx];
  const [cos, sin] = [Math.cos(errorRad), Math.sin(errorRad)];
  return [low.xPx, low.yPx, low.xPx + cos * dx - sin * dy, low.yPx + sin * dx + cos * dy];
}
