import type { BarMotion } from '../motion/bar-motion.ts';
import { project, pxPerM, type Camera } from '../scene/camera.ts';
import { inScene, rulerCentre, type Layout } from '../scene/layout.ts';
import { poseAt } from '../scene/pose.ts';
import { readPose } from '../scene/read-pose.ts';
import { appearance, type Shot } from '../scene/shot.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { add, mix, sub, type Vec3 } from '../scene/vec.ts';
import type { MirrorSpec } from '../scene/extra-spec.ts';
import { discTurnRad } from '../scene/disc-face.ts';
import { farEnd, nearEnd, paintEnd, paintShaft } from './bar.ts';
import { lifterFigure, paintBody } from './body.ts';
import { crossersOf, type Crosser, type Reach } from './crossers.ts';
import { makeLayer } from './layer.ts';
import type { Patch } from './patch.ts';
import { edgeDots, floorShadow, outline, type Pen } from './pen.ts';
import { glassZ } from './still-extras.ts';
import type { Station } from './station.ts';

/** Things that move and are painted together, at moments of real time; the picture is made of such layers. */
export interface MovingLayer {
  /** Where its parts are at a time; empty while nothing of it is in the scene. */
  reach(tS: number): Reach[];
  /** Greatest speed of anything in it at a time, pixels a second. */
  speedPxPerS(tS: number, camera: Camera): number;
  /** Most smear, in pixels, between two moments that one exposure is made of; more shows as ghosts. */
  smearPerMomentPx: number;
  /** Over a patch that shows what lies behind. */
  paint(patch: Patch, tS: number, camera: Camera): void;
}

/**
 * Everything that moves, from far to near: the lifter with the far end of the bar and whoever is behind or beside him,
 * the near end, and whoever passes in front. The near end is a layer of its own, small and exposed most finely. Each row
 * shows the bar where it is when the row is read; joints of the body are where they are when their row is.
 */
export function movingLayers(
  spec: SceneSpec,
  layout: Layout,
  motion: BarMotion,
  station: Station,
  shot: Shot,
): MovingLayer[] {
  const { widthPx: w, heightPx: h, readOutS } = spec.film;
  const layer = makeLayer(w, h);
  const crossers = crossersOf(spec.extras ?? [], layout);
  const centreAt = (tS: number): Vec3 => rulerCentre(layout, motion.at(tS));
  /** What the bar has moved when a row is read. */
  const shiftAt =
    readOutS > 0
      ? (tS: number) => (yPx: number) => sub(centreAt(tS + shot.rowDelayS(yPx)), centreAt(tS))
      : () => null;
  const readAt = (tS: number): number =>
    readOutS > 0 ? tS + shot.rowDelayS(appearance(shot, tS, centreAt).yPx) : tS;
  const place = (p: Vec3): Vec3 => inScene(layout, p[0], p[1], p[2] + layout.middleZ);
  const barSpeed = (tS: number, camera: Camera): number => {
    const bar = motion.at(tS);
    return Math.hypot(bar.vxMps, bar.vyMps) * pxPerM(camera, rulerCentre(layout, bar));
  };

  // What stands still before the lifter looks the same in every frame of a camera that stands still too.
  const stationFront = makeLayer(w, h);
  if (!shot.moves)
    for (const prop of station.inFront) prop.draw?.({ ctx: stationFront.ctx, camera: shot.cameraAt(0) });
  const paintStationFront = (pen: Pen, { x, y, w: width, h: height }: Patch): void => {
    if (shot.moves) for (const prop of station.inFront) prop.draw?.(pen);
    else pen.ctx.drawImage(stationFront.canvas, x, y, width, height, x, y, width, height);
  };

  const lifter: MovingLayer = {
    reach(tS) {
      const pose = poseAt(spec, motion, tS);
      const joints = [pose.near, pose.far].flatMap((s) =>
        Object.values(s).filter((p): p is Vec3 => typeof p !== 'number'),
      );
      const bar = motion.at(tS);
      return [
        ...[...joints, pose.head].map((p) => ({ at: place(p), aroundM: 0.19 })),
        {
          at: inScene(layout, bar.xM, bar.yM, 2 * layout.middleZ),
          aroundM: layout.ruler.diameterM / 2 + 0.03,
        },
        { at: inScene(layout, bar.xM, bar.yM, layout.collarZ), aroundM: 0.05 },
      ];
    },
    speedPxPerS: barSpeed,
    smearPerMomentPx: 3,
    paint(patch, tS, camera) {
      const pen: Pen = { ctx: layer.ctx, camera };
      const turnRad = discTurnRad(spec, motion.at(tS).yM);
      paintEnd(patch, camera, centreAt(tS), farEnd(layout, spec.seed, turnRad), shiftAt(tS));
      layer.clear(patch);
      const pose = readPose(spec, motion, shot, tS, place);
      const centre = centreAt(readAt(tS));
      for (const side of [pose.far, pose.near]) {
        const lifted = side.toe[1] - 0.025;
        floorShadow(pen, place(mix(side.ankle, side.toe, 0.4)), 0.2, 0.11, Math.max(0, 0.6 - 4 * lifted));
      }
      floorShadow(pen, centre, 0.2, 0.09, Math.max(0, 0.75 - 1.5 * (centre[1] - 0.2)));
      paintShaft(pen, layout, centre, false);
      paintBody(pen, lifterFigure(spec, pose), pose, place);
      paintShaft(pen, layout, centre, true);
      paintStationFront(pen, patch);
      layer.over(patch);
    },
  };

  const near: MovingLayer = {
    reach(tS) {
      const bar = motion.at(tS);
      return [
        { at: rulerCentre(layout, bar), aroundM: layout.ruler.diameterM / 2 + 0.03 },
        { at: inScene(layout, bar.xM, bar.yM, layout.collarZ), aroundM: layout.ruler.diameterM / 2 + 0.03 },
        { at: inScene(layout, bar.xM, bar.yM, layout.sleeveEndZ), aroundM: 0.05 },
      ];
    },
    speedPxPerS: barSpeed,
    smearPerMomentPx: 1.5,
    paint(patch, tS, camera) {
      const turnRad = discTurnRad(spec, motion.at(readAt(tS)).yM);
      paintEnd(patch, camera, centreAt(tS), nearEnd(layout, spec.seed, turnRad), shiftAt(tS));
    },
  };

  const crossing = (list: readonly Crosser[]): MovingLayer => ({
    reach: (tS) => list.flatMap((c) => c.reach(tS)),
    smearPerMomentPx: 3,
    speedPxPerS: (tS, camera) =>
      Math.max(0, ...list.flatMap((c) => c.reach(tS).map(({ at }) => c.speedMps(tS) * pxPerM(camera, at)))),
    paint(patch, tS, camera) {
      layer.clear(patch);
      for (const c of list) {
        // All of somebody is painted at the time at which the row through his middle is read.
        const [first] = c.reach(tS);
        if (first) c.draw({ ctx: layer.ctx, camera }, tS + shot.rowDelayS(middleRow(first, camera, h)));
      }
      layer.over(patch);
    },
  });

  /** The lifter and the bar's far end, as a mirror on the back wall shows them. */
  const reflection = (mirror: MirrorSpec): MovingLayer => {
    const deeper = 2 * (glassZ(spec.gym) - layout.middleZ);
    const inMirror = ([x, y, z]: Vec3): Vec3 => [x, y, 2 * glassZ(spec.gym) - z];
    const corners = ([-1, 1] as const).flatMap((side) =>
      [mirror.bottomM, mirror.topM].map((y): Vec3 => {
        const [x] = inScene(layout, mirror.xM + (side * mirror.widthM) / 2, 0, 0);
        return [x, y, glassZ(spec.gym)];
      }),
    );
    const endAt = (tS: number): Vec3 => add(centreAt(tS), [0, 0, deeper]);
    return {
      reach: (tS) => [
        { at: endAt(tS), aroundM: layout.ruler.diameterM / 2 + 0.03 },
        ...lifter.reach(tS).map(({ at, aroundM }) => ({ at: inMirror(at), aroundM })),
      ],
      speedPxPerS: barSpeed,
      smearPerMomentPx: 3,
      paint(patch, tS, camera) {
        layer.clear(patch);
        const pen: Pen = { ctx: layer.ctx, camera };
        pen.ctx.save();
        outline(pen, edgeDots(pen, [corners[0], corners[1], corners[3], corners[2]]));
        pen.ctx.clip();
        const pose = readPose(spec, motion, shot, tS, place);
        const turned = { ...pose, near: pose.far, far: pose.near };
        paintBody(pen, lifterFigure(spec, turned), turned, (p) => inMirror(place(p)));
        pen.ctx.restore();
        layer.over(patch);
        const end = project(camera, endAt(tS));
        const reachPx = (layout.ruler.diameterM / 2) * pxPerM(camera, endAt(tS));
        const dots = corners.map((c) => project(camera, c));
        const isWhole =
          end.xPx - reachPx > Math.min(...dots.map((d) => d.xPx)) &&
          end.xPx + reachPx < Math.max(...dots.map((d) => d.xPx));
        const turnRad = discTurnRad(spec, motion.at(tS).yM);
        if (isWhole)
          paintEnd(patch, camera, endAt(tS), nearEnd(layout, spec.seed + 90, -turnRad), shiftAt(tS));
      },
    };
  };

  const mirrors = (spec.extras ?? []).filter((extra) => extra.kind === 'mirror');
  const isBeside = (c: Crosser) => c.z >= layout.middleZ && c.z < 0;
  return [
    ...mirrors.map(reflection),
    crossing(crossers.filter((c) => c.z < layout.middleZ)),
    lifter,
    crossing(crossers.filter(isBeside)),
    near,
    crossing(crossers.filter((c) => c.z >= 0)),
  ];
}

function middleRow({ at }: Reach, camera: Camera, heightPx: number): number {
  const { yPx } = project(camera, at);
  return Math.min(Math.max(yPx, 0), heightPx - 1);
}
