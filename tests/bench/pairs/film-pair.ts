import { project } from '../../../demo-data/scene/camera.ts';
import { layoutOf, inScene } from '../../../demo-data/scene/layout.ts';
import { shotOf } from '../../../demo-data/scene/shot.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { cachedClip } from '../../../demo-data/suite/cached-clip.ts';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import type { FollowedClip } from '../../../electron/desk/calibrated-clip.ts';
import { repsOfClip } from '../../../electron/desk/clip-reps.ts';
import { discMeasured, discUnmeasured } from '../../../shared-lib/camera/disc-size.ts';
import { toBarPlane } from '../../../shared-lib/camera/rectify.ts';
import { compareDrawn, drawPair } from '../../../shared-lib/pair/changes.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import { judged, type Trial } from '../../unit/pair/trials.ts';
import { followedOf } from '../followed-clips.ts';
import { scoreTrace } from '../score-path.ts';
import { matched } from '../score-reps.ts';
import type { PairDraw } from './draw-pair.ts';
import { trueMeasures } from './plant.ts';
import { sizeApart, type SizeApart } from './size-apart.ts';

/** Films both clips of a pair, follows and compares them as the program does, and sets what it says beside the truth. */
export async function filmAndCompare(
  pair: PairDraw,
  { cache, draws, fresh }: { cache: string; draws: number; fresh: boolean },
): Promise<{ trial: Trial; apart: SizeApart[] }> {
  const sides = [];
  for (const i of [0, 1] as const) sides.push(await measuredSide(pair, i, cache, fresh));
  const [reference, today] = sides;
  const sameCamera = pair.filming === 'unmoved camera';
  const options = { draws, sameCamera, referenceRep: reference.rep, todayRep: today.rep };
  const drawn = drawPair(reference.clip, today.clip, options);
  const result = compareDrawn(drawn, options);
  const truths = pair.specs.map(trueMeasures);
  const trial = {
    lift: reference.clip.lift,
    good: sameCamera || pair.plumbErrorRad[0] !== null,
    sameCamera,
    changed: pair.changed,
    ...judged(drawn, result, truths),
  };
  const apart = sides.flatMap(({ followed, truth }, i) => sizeApart(followed, truth, truths[i], draws) ?? []);
  return { trial, apart };
}

async function measuredSide(
  pair: PairDraw,
  i: 0 | 1,
  cache: string,
  fresh: boolean,
): Promise<{ clip: MeasuredClip; rep: number; followed: FollowedClip; truth: Truth }> {
  const spec = pair.specs[i];
  const { clip, truth } = await cachedClip(`${pair.name}-${i}`, spec, cache);
  const followed = await followedOf(clip, truth, fresh);
  if (scoreTrace(followed.trace, truth).wrong) throw new Error(`clip ${i}: the wrong disc is followed`);
  const said = pair.discMm[i];
  const plumbError = pair.plumbErrorRad[i];
  const metres = toBarPlane(followed.trace, {
    ...(said === null ? discUnmeasured : discMeasured(said)),
    ...(plumbError === null ? {} : { plumb: plumbLine(spec, plumbError) }),
    picture: followed.media,
    facing: truth.facing,
    slowMotion: 1,
    slowMotionSource: 'none',
    seed: followed.calibration.seed,
  });
  const inMetres = { ...followed, ...metres };
  const { measured, reps } = repsOfClip(inMetres, spec.lift);
  const [found] = matched(reps, truth.reps);
  if (!found) throw new Error(`clip ${i}: the rep is missed`);
  return { clip: measured, rep: reps.indexOf(found.rep), followed: inMetres, truth };
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
