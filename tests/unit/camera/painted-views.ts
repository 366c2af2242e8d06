import { makeSensor } from '../../../demo-data/film/sensor.ts';
import { bytePlanes } from '../../../demo-data/film/yuv.ts';
import { makePainter } from '../../../demo-data/paint/frame.ts';
import { momentsOf } from '../../../demo-data/render-clip.ts';
import type { SceneSpec } from '../../../demo-data/scene/spec.ts';
import { truthOf } from '../../../demo-data/truth/truth.ts';
import { discAt } from '../../../shared-lib/trace/find-seeds.ts';
import { viewOf, type DiscView } from '../../../shared-lib/trace/disc-views.ts';

/**
 * Cut-outs of a rendered scene's disc at even heights of its first rep, uncompressed, with the ring that the program finds in the
 * first of them; the camera must stand still.
 */
export function paintedViews(spec: SceneSpec, count: number) {
  const truth = truthOf(spec, 'views', momentsOf(spec));
  const [rep] = truth.reps;
  const frames = truth.frames.filter((f) => f.t_s >= rep.start_s && f.t_s <= (rep.lockout_s ?? Infinity));
  const heights = frames.map((f) => f.py);
  const [top, foot] = [Math.min(...heights), Math.max(...heights)];
  const chosen = Array.from({ length: count }, (_, k) => {
    const at = top + (k / (count - 1)) * (foot - top);
    return frames.reduce((a, b) => (Math.abs(b.py - at) < Math.abs(a.py - at) ? b : a));
  });
  const { widthPx: width, heightPx: height } = spec.film;
  const bytes = new Uint8Array((width * height * 3) / 2);
  const sensed = bytePlanes(bytes, width, height);
  const painter = makePainter(spec);
  const sense = makeSensor(spec.film, spec.seed);
  const pictures = chosen.map((f) => {
    sense(painter.paint(f.taken_s), sensed);
    return { width, height, data: bytes.slice(0, width * height) };
  });
  const { rim: first } = chosen[0];
  const ring = discAt(pictures[0], first.x_px, first.y_px);
  if (!ring) throw new Error('no disc');
  const views = pictures.map((image, k): DiscView => {
    const { frame, rim } = chosen[k];
    const place = { xPx: ring.xPx + rim.x_px - first.x_px, yPx: ring.yPx + rim.y_px - first.y_px };
    return viewOf(image, { ...ring, ...place }, frame);
  });
  return { views, truth, frames: chosen };
}
