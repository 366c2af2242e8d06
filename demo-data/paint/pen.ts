import type { SKRSContext2D } from '@napi-rs/canvas';
import { project, pxPerM, type Camera } from '../scene/camera.ts';
import { add, mix, scale, type Vec3 } from '../scene/vec.ts';
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

/** Where most light comes from, in the picture: above, a little from the left; unit length, y down. */
const light: Dot = { x: -0.34, y: -0.94 };

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

const piecesPerEdge = 16;

/** Dots round a polygon of the scene; where the camera bends straight edges, with dots between the corners. */
export function edgeDots(pen: Pen, corners: readonly Vec3[]): Dot[] {
  const { lens, ofRow } = pen.camera;
  if (!lens && !ofRow) return corners.map((c) => dotOf(pen, c));
  return corners.flatMap((a, i) => {
    const b = corners[(i + 1) % corners.length];
    return Array.from({ length: piecesPerEdge }, (_, k) => dotOf(pen, mix(a, b, k / piecesPerEdge)));
  });
}

export function polygon(pen: Pen, corners: readonly Vec3[], fill: string, smooth = false): void {
  outline(pen, smooth ? corners.map((c) => dotOf(pen, c)) : edgeDots(pen, corners), smooth);
  pen.ctx.fillStyle = fill;
  pen.ctx.fill();
}

/**
 * Fills the current outline as a rounded body across the line from a to b: edges turned to the light are bright, edges
 * turned away dark. Brightness changes continuously with the direction, so that a turning limb does not flicker.
 */
export function fillRound(pen: Pen, a: Dot, b: Dot, colour: string, k = 1, edge = true): void {
  const { ctx } = pen;
  const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  // a to b runs across the body here, from one edge to the other.
  const facing = ((a.x - b.x) * light.x + (a.y - b.y) * light.y) / length;
  const g = ctx.createLinearGradient(a.x, a.y, b.x, b.y);
  g.addColorStop(0, shade(colour, k * (0.6 + 0.34 * facing)));
  g.addColorStop(0.28, shade(colour, k * (0.92 + 0.2 * facing)));
  g.addColorStop(0.5, shade(colour, k * 0.97));
  g.addColorStop(0.72, shade(colour, k * (0.92 - 0.2 * facing)));
  g.addColorStop(1, shade(colour, k * (0.6 - 0.34 * facing)));
  ctx.fillStyle = g;
  ctx.fill();
  if (!edge) return;
  ctx.strokeStyle = shade(colour, 0.25 * k, 0.4);
  ctx.lineWidth = Math.max(0.7, length * 0.015);
  ctx.stroke();
}

/** Share of the way along a limb, and its half thickness on the side of the hint and on the other, metres. */
export type Station = readonly [share: number, hintSide: number, otherSide: number];

/** A limb between two points of the scene with rounded ends. `hint` tells its two sides apart. */
export function limb(
  pen: Pen,
  a: Vec3,
  b: Vec3,
  hint: Vec3,
  stations: readonly Station[],
  colour: string,
  k = 1,
): void {
  const p = dotOf(pen, a);
  const q = dotOf(pen, b);
  const length = Math.hypot(q.x - p.x, q.y - p.y) || 1;
  const along = { x: (q.x - p.x) / length, y: (q.y - p.y) / length };
  const h = dotOf(pen, add(a, scale(hint, 0.1)));
  const sign = along.x * (h.y - p.y) - along.y * (h.x - p.x) >= 0 ? 1 : -1;
  const across = { x: -along.y * sign, y: along.x * sign };
  const one: Dot[] = [];
  const other: Dot[] = [];
  let widest = 0;
  for (const [s, hintSide, otherSide] of stations) {
    const at = mix(a, b, s);
    const c = dotOf(pen, at);
    const m = pxPerM(pen.camera, at);
    one.push({ x: c.x + across.x * hintSide * m, y: c.y + across.y * hintSide * m });
    other.unshift({ x: c.x - across.x * otherSide * m, y: c.y - across.y * otherSide * m });
    widest = Math.max(widest, hintSide * m, otherSide * m);
  }
  const end = (at: number, sign2: number): Dot => {
    const [s, x, y] = stations[at];
    const c = dotOf(pen, mix(a, b, s));
    const r = sizePx(pen, b, (x + y) / 2) * 0.8 * sign2;
    return { x: c.x + along.x * r, y: c.y + along.y * r };
  };
  outline(pen, [...one, end(stations.length - 1, 1), ...other, end(0, -1)], true);
  const mx = (p.x + q.x) / 2;
  const my = (p.y + q.y) / 2;
  fillRound(
    pen,
    { x: mx + across.x * widest, y: my + across.y * widest },
    { x: mx - across.x * widest, y: my - across.y * widest },
    colour,
    k,
  );
}

/** A soft dark patch on the floor under something. */
export function floorShadow(pen: Pen, at: Vec3, halfXM: number, halfZM: number, depth: number): void {
  const { ctx } = pen;
  const c = dotOf(pen, [at[0], 0, at[2]]);
  const rx = Math.abs(dotOf(pen, [at[0] + halfXM, 0, at[2]]).x - c.x);
  const ry = Math.abs(dotOf(pen, [at[0], 0, at[2] + halfZM]).y - c.y);
  if (rx < 0.5 || ry < 0.5) return;
  ctx.save();
  ctx.translate(c.x, c.y);
  ctx.scale(1, ry / rx);
  const g = ctx.createRadialGradient(0, 0, 0, 0, 0, rx);
  g.addColorStop(0, `rgba(0,0,0,${depth})`);
  g.addColorStop(0.5, `rgba(0,0,0,${depth * 0.6})`);
  g.addColorStop(1, 'rgba(0,0,0,0)');
  ctx.fillStyle = g;
  ctx.fillRect(-rx, -rx, 2 * rx, 2 * rx);
  ctx.restore();
}
