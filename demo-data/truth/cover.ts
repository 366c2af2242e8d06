import { createCanvas } from '@napi-rs/canvas';
import { crossersOf } from '../paint/crossers.ts';
import { project, pxPerM, type Camera } from '../scene/camera.ts';
import type { DiscFace } from '../scene/disc-face.ts';
import type { Layout } from '../scene/layout.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { add, scale, sub, type Vec3 } from '../scene/vec.ts';

/** Places round the rim that are asked, and the disc's width in the picture in which they are asked, pixels. */
const places = 180;
const maskDiscPx = 400;

/** Share of the ruler's rim that cannot be seen at a time, 0 to 1. */
export type Cover = (camera: Camera, face: DiscFace, tS: number) => number;

/** Points evenly round a face's rim. */
const rimPlaces = ({ centre, right, up }: DiscFace, radiusM: number): Vec3[] =>
  Array.from({ length: places }, (_, k) => {
    const a = (2 * Math.PI * (k + 0.5)) / places;
    return add(centre, add(scale(right, radiusM * Math.cos(a)), scale(up, radiusM * Math.sin(a))));
  });

/**
 * What hides the rim: things and people in front, by drawing them into a small picture of their own; parts of the bar
 * nearer than the ruler's face, by geometry; and the picture's edge.
 */
export function coverOf(spec: SceneSpec, layout: Layout): Cover {
  const inFront = crossersOf(spec.extras ?? [], layout).filter((c) => c.z > 0);
  const { widthPx, heightPx } = spec.film;
  const size = 2 * maskDiscPx;
  const ctx = createCanvas(size, size).getContext('2d', { willReadFrequently: true });
  const isOutside = (camera: Camera, p: Vec3): boolean => {
    const { xPx, yPx } = project(camera, p);
    return xPx < -0.5 || yPx < -0.5 || xPx > widthPx - 0.5 || yPx > heightPx - 0.5;
  };
  /** Whether a place of the scene is drawn over at a time. */
  const drawnOver = (camera: Camera, centre: Vec3, tS: number): ((p: Vec3) => boolean) => {
    const there = inFront.filter((c) => c.reach(tS).length > 0);
    if (there.length === 0) return () => false;
    const straight: Camera = { ...camera, lens: null, ofRow: null };
    const zoom = maskDiscPx / (layout.ruler.diameterM * pxPerM(straight, centre));
    const at = project(straight, centre);
    const mask: Camera = {
      ...straight,
      focalPx: camera.focalPx * zoom,
      cxPx: (camera.cxPx - at.xPx) * zoom + size / 2,
      cyPx: (camera.cyPx - at.yPx) * zoom + size / 2,
    };
    ctx.clearRect(0, 0, size, size);
    for (const crosser of there) crosser.draw({ ctx, camera: mask }, tS);
    const { data } = ctx.getImageData(0, 0, size, size);
    return (p) => {
      const { xPx, yPx } = project(mask, p);
      return data[4 * (Math.round(yPx) * size + Math.round(xPx)) + 3] >= 128;
    };
  };
  return (camera, face, tS) => {
    const isDrawnOver = drawnOver(camera, face.centre, tS);
    const rim = rimPlaces(face, layout.ruler.diameterM / 2);
    const hidden = rim.filter(
      (p) => isDrawnOver(p) || isBehindEnd(layout, camera, face.centre, p) || isOutside(camera, p),
    );
    return hidden.length / rim.length;
  };
}

/** Whether the line from the camera to a point of the ruler's face meets a disc that hangs before it. */
function isBehindEnd(layout: Layout, camera: Camera, centre: Vec3, p: Vec3): boolean {
  const way = sub(camera.at, p);
  return layout.discs.some(({ disc, nearM, farM }) => {
    if (farM < 0) return false;
    // Where the line crosses the near face; lines to a camera outside the end leave a disc outward.
    const offAxis = (zM: number) => {
      const k = zM / way[2];
      return Math.hypot(p[0] + k * way[0] - centre[0], p[1] + k * way[1] - centre[1]);
    };
    const radiusM = disc.diameterM / 2;
    const steps = Array.from({ length: 9 }, (_, i) => farM + ((nearM - farM) * i) / 8);
    return steps.some((z) => offAxis(z) < radiusM);
  });
}
