import type { SKRSContext2D } from '@napi-rs/canvas';
import { project, pxPerM, type Camera } from '../scene/camera.ts';
import type { Vec3 } from '../scene/vec.ts';
import { shade } from './colour.ts';

/**
 * Draws shaded pieces of the scene on a canvas. Pixel centres of the camera lie at whole numbers and of the canvas at
 * halves, hence the half pixel.
 */
export interface Pen {
  ctx: SKRSContext2D;
  camera: Camera;
}

export interface Dot {
  x: number;
  y: number;
}

export function dotOf({ camera }: Pen, p: Vec3): Dot {
  const { xPx, yPx } = project(camera, p);
  return { x: xPx + 0.5, y: yPx + 0.5 };
}

export const sizePx = ({ camera }: Pen, p: Vec3, metres: number): number => metres * pxPerM(camera, p);

/** A closed outline through dots, rounded when `smooth`. */
export function outline({ ctx }: Pen, dots: readonly Dot[], smooth = false): void {
  ctx.beginPath();
  if (!smooth) {
    dots.forEach((d, i) => (i === 0 ? ctx.moveTo(d.x, d.y) : ctx.lineTo(d.x, d.y)));
    ctx.closePath();
    return;
  }
  const middle = (a: Dot, b: Dot): Dot => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
  const first = middle(dots[dots.length - 1], dots[0]);
  ctx.moveTo(first.x, first.y);
  dots.forEach((d, i) => {
    const m = middle(d, dots[(i + 1) % dots.length]);
    ctx.quadraticCurveTo(d.x, d.y, m.x, m.y);
  });
  ctx.closePath();
}

export function quad(pen: Pen, corners: readonly Vec3[], fill: string): void {
  outline(
    pen,
    corners.map((c) => dotOf(pen, c)),
  );
  pen.ctx.fillStyle = fill;
  pen.ctx.fill();
}

/**
 * A limb between two points whose half thickness follows stations along it (share of the way, metres): lit from above,
 * darker below, rounded at the ends.
 */
export function limb(
  pen: Pen,
  a: Vec3,
  b: Vec3,
  stations: readonly (readonly [number, number])[],
  colour: string,
  light = 1,
): void {
  const { ctx } = pen;
  const p = dotOf(pen, a);
  const q = dotOf(pen, b);
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  const dx = length > 1e-6 ? (q.x - p.x) / length : 1;
  const dy = length > 1e-6 ? (q.y - p.y) / length : 0;
  // Across the limb, toward the upper side of the picture.
  const upper = dx > 0 || (dx === 0 && dy > 0) ? { x: dy, y: -dx } : { x: -dy, y: dx };
  const left: Dot[] = [];
  const right: Dot[] = [];
  let widest = 0;
  for (const [s, half] of stations) {
    const r = half * (pxPerM(pen.camera, a) * (1 - s) + pxPerM(pen.camera, b) * s);
    widest = Math.max(widest, r);
    const x = p.x + (q.x - p.x) * s;
    const y = p.y + (q.y - p.y) * s;
    left.push({ x: x + upper.x * r, y: y + upper.y * r });
    right.unshift({ x: x - upper.x * r, y: y - upper.y * r });
  }
  const endR = sizePx(pen, b, stations[stations.length - 1][1]);
  const startR = sizePx(pen, a, stations[0][1]);
  const cap = (at: Dot, r: number, sign: number): Dot => ({
    x: at.x + sign * dx * r * 0.9,
    y: at.y + sign * dy * r * 0.9,
  });
  outline(pen, [...left, cap(q, endR, 1), ...right, cap(p, startR, -1)], true);
  const mx = (p.x + q.x) / 2;
  const my = (p.y + q.y) / 2;
  const g = ctx.createLinearGradient(
    mx + upper.x * widest,
    my + upper.y * widest,
    mx - upper.x * widest,
    my - upper.y * widest,
  );
  g.addColorStop(0, shade(colour, 0.95 * light));
  g.addColorStop(0.3, shade(colour, 1.08 * light));
  g.addColorStop(0.65, shade(colour, 0.74 * light));
  g.addColorStop(1, shade(colour, 0.36 * light));
  ctx.fillStyle = g;
  ctx.fill();
}
