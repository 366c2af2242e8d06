import { project, pxPerM, rayOf, type Camera } from '../scene/camera.ts';
import { add, cross, dot, norm, scale, sub, unit, type Vec3 } from '../scene/vec.ts';
import type { Patch } from './patch.ts';

/** Paints a point of a face: place on it from its axis (right, up, metres), radius and pixel size there; writes linear RGB. */
export type FacePaint = (uM: number, vM: number, rM: number, pixelM: number, out: Float32Array) => void;

/**
 * A round solid on an axis that points about toward the viewer: from `farM` to `nearM` along it, with a painted near
 * face and a side whose brightness follows its direction.
 */
export interface RoundSolid {
  nearM: number;
  farM: number;
  radiusM: number;
  face: FacePaint;
  side: readonly [number, number, number];
  /** Where it hangs off the end's axis, and its own axis, when these differ. */
  offset?: Vec3;
  axis?: Vec3;
}

/** Right-handed axes of a bar's end: `axis` along the bar toward the viewer. */
export interface EndFrame {
  centre: Vec3;
  right: Vec3;
  up: Vec3;
  axis: Vec3;
}

export function endFrame(centre: Vec3, axis: Vec3 = [0, 0, 1]): EndFrame {
  const a = unit(axis);
  const right = unit(cross([0, 1, 0], a));
  return { centre, right, up: cross(a, right), axis: a };
}

/**
 * Casts a ray through every pixel near the solid. In the frame of the bar's end a ray crosses the near face's plane at
 * p and the far face's plane at q; the solid is in its way when the segment from p to q comes nearer to the axis than the
 * radius. That signed distance, over the size of a pixel in the same direction, gives the share of the pixel covered.
 */
export function paintSolid(
  patch: Patch,
  camera: Camera,
  frame: EndFrame,
  solid: RoundSolid,
  shiftAt: ((yPx: number) => Vec3) | null = null,
): void {
  const local = (v: Vec3): Vec3 => [dot(v, frame.right), dot(v, frame.up), dot(v, frame.axis)];
  const placedEye = local(sub(camera.at, frame.centre));
  const nearCentre = add(frame.centre, scale(frame.axis, solid.nearM));
  const farCentre = add(frame.centre, scale(frame.axis, solid.farM));
  const reach = solid.radiusM * Math.max(pxPerM(camera, nearCentre), pxPerM(camera, farCentre)) * 1.25 + 3;
  // Where rows are read one after another, the first and the last say between which places the solid is seen.
  const shifts = shiftAt ? [shiftAt(patch.y), shiftAt(patch.y + patch.h)] : [];
  const movedPx = Math.max(0, ...shifts.map(norm)) * pxPerM(camera, nearCentre);
  const a = project(camera, nearCentre);
  const b = project(camera, farCentre);
  const i0 = Math.max(Math.floor(Math.min(a.xPx, b.xPx) - reach - movedPx), patch.x);
  const i1 = Math.min(Math.ceil(Math.max(a.xPx, b.xPx) + reach + movedPx), patch.x + patch.w - 1);
  const j0 = Math.max(Math.floor(Math.min(a.yPx, b.yPx) - reach - movedPx), patch.y);
  const j1 = Math.min(Math.ceil(Math.max(a.yPx, b.yPx) + reach + movedPx), patch.y + patch.h - 1);
  // Rays are linear in the pixel of the straight picture: one at its corner and the two steps.
  const raysOf = (view: Camera) => {
    const corner = local(rayOf(view, 0, 0));
    const stepX = sub(local(rayOf(view, 1, 0)), corner);
    const stepY = sub(local(rayOf(view, 0, 1)), corner);
    return { corner, stepX, stepY };
  };
  const { lens, ofRow } = camera;
  // Size of a pixel on the near face, as the derivatives of (u, v) by x and y at its centre.
  const at = (xPx: number, yPx: number) => {
    const d = local(rayOf(camera, xPx, yPx));
    const t = (solid.nearM - placedEye[2]) / d[2];
    return [placedEye[0] + t * d[0], placedEye[1] + t * d[1]] as const;
  };
  const here = at(a.xPx, a.yPx);
  const beside = at(a.xPx + 1, a.yPx);
  const below = at(a.xPx, a.yPx + 1);
  const ux = beside[0] - here[0];
  const vx = beside[1] - here[1];
  const uy = below[0] - here[0];
  const vy = below[1] - here[1];
  const out = new Float32Array(3);
  const radius = solid.radiusM;
  const out2 = (radius + 2 * Math.hypot(ux, vx, uy, vy)) ** 2;
  const whole = raysOf(camera);
  for (let j = j0; j <= j1; j++) {
    const { corner, stepX, stepY } = ofRow ? raysOf(ofRow(j)) : whole;
    const eye = shiftAt ? sub(placedEye, local(shiftAt(j))) : placedEye;
    for (let i = i0; i <= i1; i++) {
      const x = lens ? lens.straightPx[2 * (j * lens.widthPx + i)] : i;
      const y = lens ? lens.straightPx[2 * (j * lens.widthPx + i) + 1] : j;
      const dx = corner[0] + x * stepX[0] + y * stepY[0];
      const dy = corner[1] + x * stepX[1] + y * stepY[1];
      const dz = corner[2] + x * stepX[2] + y * stepY[2];
      const tNear = (solid.nearM - eye[2]) / dz;
      const tFar = (solid.farM - eye[2]) / dz;
      const pu = eye[0] + tNear * dx;
      const pv = eye[1] + tNear * dy;
      const su = (tFar - tNear) * dx;
      const sv = (tFar - tNear) * dy;
      const length2 = su * su + sv * sv;
      const k = length2 > 0 ? Math.min(Math.max(-(pu * su + pv * sv) / length2, 0), 1) : 0;
      const cu = pu + k * su;
      const cv = pv + k * sv;
      const near2 = cu * cu + cv * cv;
      if (near2 > out2) continue;
      const near = Math.sqrt(near2);
      const nu = near > 0 ? cu / near : 1;
      const nv = near > 0 ? cv / near : 0;
      const gx = nu * ux + nv * vx;
      const gy = nu * uy + nv * vy;
      const pixelM = Math.sqrt(gx * gx + gy * gy);
      const cover = 0.5 - (near - radius) / pixelM;
      if (cover <= 0) continue;
      const share = cover < 1 ? cover : 1;
      const pr = Math.sqrt(pu * pu + pv * pv);
      // Share of the covered pixel that shows the face; the rest shows the side behind its edge.
      const inFace = 0.5 - (pr - radius) / pixelM;
      const faceShare = k === 0 || inFace > 1 ? 1 : inFace < 0 ? 0 : inFace;
      if (faceShare > 0) solid.face(pu, pv, pr < radius ? pr : radius, pixelM, out);
      const light = 0.35 + 0.4 * Math.max(0, nv) + 0.12 * nu;
      const to = ((j - patch.y) * patch.w + i - patch.x) * 3;
      for (let c = 0; c < 3; c++) {
        const colour = faceShare * out[c] + (1 - faceShare) * solid.side[c] * light;
        patch.rgb[to + c] += share * (colour - patch.rgb[to + c]);
      }
    }
  }
}
