import type { Camera } from '../scene/camera.ts';
import type { DiscSpec } from '../scene/spec.ts';
import type { Vec3 } from '../scene/vec.ts';
import { linearOf, shade, type Rgb } from './colour.ts';
import { discFace } from './faces.ts';
import type { Layer } from './layer.ts';
import type { Patch } from './patch.ts';
import { dotOf, edgeDots, outline, polygon, type Pen } from './pen.ts';
import { endFrame, paintSolids, type RoundSolid } from './solid.ts';

/** A still thing in the gym, painted from far to near. */
export interface Prop {
  /** Depth that orders it: the z of its nearest part. */
  z: number;
  /** Drawn with the pen, or cast straight into linear light. */
  draw?: (pen: Pen) => void;
  cast?: (patch: Patch, camera: Camera) => void;
}

export interface Bounds {
  x: readonly [number, number];
  y: readonly [number, number];
  z: readonly [number, number];
}

/** A box with its sides along the axes: the faces that the camera sees, lit from above. */
export function box(pen: Pen, { x, y, z }: Bounds, colour: string, k = 1): void {
  const [cx, cy] = pen.camera.at;
  const face = (corners: Vec3[], light: number) => polygon(pen, corners, shade(colour, light * k));
  const side = (at: number): Vec3[] => [
    [at, y[0], z[0]],
    [at, y[1], z[0]],
    [at, y[1], z[1]],
    [at, y[0], z[1]],
  ];
  const level = (at: number): Vec3[] => [
    [x[0], at, z[0]],
    [x[1], at, z[0]],
    [x[1], at, z[1]],
    [x[0], at, z[1]],
  ];
  if (cx < x[0]) face(side(x[0]), 0.62);
  if (cx > x[1]) face(side(x[1]), 0.48);
  if (cy > y[1]) face(level(y[1]), 1.35);
  if (cy < y[0]) face(level(y[0]), 0.25);
  const front: Vec3[] = [
    [x[0], y[0], z[1]],
    [x[1], y[0], z[1]],
    [x[1], y[1], z[1]],
    [x[0], y[1], z[1]],
  ];
  const dots = front.map((c) => dotOf(pen, c));
  outline(pen, edgeDots(pen, front));
  const g = pen.ctx.createLinearGradient(dots[3].x, dots[3].y, dots[0].x, dots[0].y);
  g.addColorStop(0, shade(colour, 0.95 * k));
  g.addColorStop(1, shade(colour, 0.66 * k));
  pen.ctx.fillStyle = g;
  pen.ctx.fill();
}

/** A box as a prop. */
export const boxProp = (bounds: Bounds, colour: string, k = 1): Prop => ({
  z: bounds.z[1],
  draw: (pen) => box(pen, bounds, colour, k),
});

/** A disc that hangs on a peg or leans, its axis toward the viewer unless told otherwise. */
export function discProp(disc: DiscSpec, centre: Vec3, seed: number, axis: Vec3 = [0, 0, 1], k = 1): Prop {
  const dim = (c: Rgb): Rgb => [c[0] * k, c[1] * k, c[2] * k];
  const face = discFace(disc, seed, seed);
  const solid: RoundSolid = {
    nearM: 0,
    farM: -disc.thicknessM,
    radiusM: disc.diameterM / 2,
    face: (u, v, r, pixelM, out) => {
      face(u, v, r, pixelM, out);
      for (let c = 0; c < 3; c++) out[c] *= k;
    },
    side: dim(linearOf(disc.colour)),
  };
  return {
    z: centre[2],
    cast: (patch, camera) => paintSolids(patch, camera, [{ frame: endFrame(centre, axis), solid }]),
  };
}

/** Paints props over a picture, from far to near. */
export function paintProps(patch: Patch, layer: Layer, camera: Camera, props: readonly Prop[]): void {
  let pending = false;
  const flush = () => {
    if (pending) layer.over(patch);
    layer.clear(patch);
    pending = false;
  };
  flush();
  for (const prop of [...props].sort((a, b) => a.z - b.z)) {
    if (prop.draw) {
      prop.draw({ ctx: layer.ctx, camera });
      pending = true;
    }
    if (prop.cast) {
      flush();
      prop.cast(patch, camera);
    }
  }
  flush();
}
