import { project, pxPerM, rayOf, type Camera } from '../scene/camera.ts';
import { add, cross, dot, norm, scale, sub, unit, type Vec3 } from '../scene/vec.ts';
import { luminanceOf, type Box, type Patch } from './patch.ts';

/** Paints a point of a face: place on it from its axis (right, up, metres), radius and pixel size there; writes linear RGB. */
export type FacePaint = (uM: number, vM: number, rM: number, pixelM: number, out: Float32Array) => void;

/** Share of a pixel through which one sees past the solid, asked as a face is painted. */
export type FaceOpening = (uM: number, vM: number, rM: number, pixelM: number) => number;

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
  /** Openings through the face. */
  opening?: FaceOpening | null;
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

/** A solid as a camera sees it: which pixels it may touch, and what it shows in each. */
interface Sight {
  left: number;
  right: number;
  top: number;
  bottom: number;
  /** Call before `cover` for the pixels of a row. */
  beginRow(j: number): void;
  /** Share of pixel i of the row that the solid covers; writes the colour it shows there when that is above 0. */
  cover(i: number, out: Float32Array): number;
}

/** How far something has moved when a row is read; null where all rows are read at once. */
export type RowShift = ((yPx: number) => Vec3) | null;

/**
 * Casts a ray through every pixel near the solid. In the frame of the bar's end a ray crosses the near face's plane at
 * p and the far face's plane at q; the solid is in its way when the segment from p to q comes nearer to the axis than the
 * radius. That signed distance, over the size of a pixel in the same direction, gives the share of the pixel covered.
 */
function sightOf(box: Box, camera: Camera, frame: EndFrame, solid: RoundSolid, shiftAt: RowShift): Sight {
  const local = (v: Vec3): Vec3 => [dot(v, frame.right), dot(v, frame.up), dot(v, frame.axis)];
  const placedEye = local(sub(camera.at, frame.centre));
  const nearCentre = add(frame.centre, scale(frame.axis, solid.nearM));
  const farCentre = add(frame.centre, scale(frame.axis, solid.farM));
  const reach = solid.radiusM * Math.max(pxPerM(camera, nearCentre), pxPerM(camera, farCentre)) * 1.25 + 3;
  // Where rows are read one after another, the first and the last say between which places the solid is seen.
  const shifts = shiftAt ? [shiftAt(box.y), shiftAt(box.y + box.h)] : [];
  const movedPx = Math.max(0, ...shifts.map(norm)) * pxPerM(camera, nearCentre);
  const a = project(camera, nearCentre);
  const b = project(camera, farCentre);
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
  const { radiusM: radius, nearM, farM, face, side, opening = null } = solid;
  const pixelsM = 2 * Math.hypot(ux, vx, uy, vy);
  const out2 = (radius + pixelsM) ** 2;
  const inside = radius - pixelsM;
  const whole = raysOf(camera);
  let { corner, stepX, stepY } = whole;
  let eye = placedEye;
  let row = 0;
  return {
    left: Math.max(Math.floor(Math.min(a.xPx, b.xPx) - reach - movedPx), box.x),
    right: Math.min(Math.ceil(Math.max(a.xPx, b.xPx) + reach + movedPx), box.x + box.w - 1),
    top: Math.max(Math.floor(Math.min(a.yPx, b.yPx) - reach - movedPx), box.y),
    bottom: Math.min(Math.ceil(Math.max(a.yPx, b.yPx) + reach + movedPx), box.y + box.h - 1),
    beginRow(j) {
      ({ corner, stepX, stepY } = ofRow ? raysOf(ofRow(j)) : whole);
      eye = shiftAt ? sub(placedEye, local(shiftAt(j))) : placedEye;
      row = j;
    },
    cover(i, out) {
      const x = lens ? lens.straightPx[2 * (row * lens.widthPx + i)] : i;
      const y = lens ? lens.straightPx[2 * (row * lens.widthPx + i) + 1] : row;
      const dx = corner[0] + x * stepX[0] + y * stepY[0];
      const dy = corner[1] + x * stepX[1] + y * stepY[1];
      const dz = corner[2] + x * stepX[2] + y * stepY[2];
      const tNear = (nearM - eye[2]) / dz;
      const tFar = (farM - eye[2]) / dz;
      const pu = eye[0] + tNear * dx;
      const pv = eye[1] + tNear * dy;
      const pr = Math.sqrt(pu * pu + pv * pv);
      // Well inside the face nothing else can be seen.
      if (pr < inside) {
        const gx = pr > 0 ? (pu * ux + pv * vx) / pr : ux;
        const gy = pr > 0 ? (pu * uy + pv * vy) / pr : uy;
        const sizeM = Math.sqrt(gx * gx + gy * gy);
        const share = opening ? 1 - opening(pu, pv, pr, sizeM) : 1;
        if (share > 0) face(pu, pv, pr, sizeM, out);
        return share;
      }
      const su = (tFar - tNear) * dx;
      const sv = (tFar - tNear) * dy;
      const length2 = su * su + sv * sv;
      const k = length2 > 0 ? Math.min(Math.max(-(pu * su + pv * sv) / length2, 0), 1) : 0;
      const cu = pu + k * su;
      const cv = pv + k * sv;
      const near2 = cu * cu + cv * cv;
      if (near2 > out2) return 0;
      const near = Math.sqrt(near2);
      const nu = near > 0 ? cu / near : 1;
      const nv = near > 0 ? cv / near : 0;
      const gx = nu * ux + nv * vx;
      const gy = nu * uy + nv * vy;
      const pixelM = Math.sqrt(gx * gx + gy * gy);
      const cover = 0.5 - (near - radius) / pixelM;
      if (cover <= 0) return 0;
      // Share of the covered pixel that shows the face; the rest shows the side behind its edge.
      const inFace = 0.5 - (pr - radius) / pixelM;
      const faceShare = k === 0 || inFace > 1 ? 1 : inFace < 0 ? 0 : inFace;
      if (faceShare > 0) face(pu, pv, pr < radius ? pr : radius, pixelM, out);
      if (faceShare < 1) {
        const light = (1 - faceShare) * (0.35 + 0.4 * Math.max(0, nv) + 0.12 * nu);
        for (let c = 0; c < 3; c++) out[c] = (faceShare > 0 ? faceShare * out[c] : 0) + side[c] * light;
      }
      return cover < 1 ? cover : 1;
    },
  };
}

/** A solid with the frame that it hangs in. */
export interface PlacedSolid {
  frame: EndFrame;
  solid: RoundSolid;
}

/** Paints solids that stand before each other, the farthest first in the list; what is wholly hidden costs nothing. */
export function paintSolids(
  patch: Patch,
  camera: Camera,
  solids: readonly PlacedSolid[],
  shiftAt: RowShift = null,
): void {
  const nearestFirst = solids
    .map(({ frame, solid }) => sightOf(patch, camera, frame, solid, shiftAt))
    .reverse();
  const top = Math.min(...nearestFirst.map((sight) => sight.top));
  const bottom = Math.max(...nearestFirst.map((sight) => sight.bottom));
  const colour = new Float32Array(3);
  const { light, channels } = patch;
  for (let j = top; j <= bottom; j++) {
    const inRow = nearestFirst.filter((sight) => sight.top <= j && j <= sight.bottom);
    for (const sight of inRow) sight.beginRow(j);
    const left = Math.min(...inRow.map((sight) => sight.left));
    const right = Math.max(...inRow.map((sight) => sight.right));
    for (let i = left; i <= right; i++) {
      let red = 0;
      let green = 0;
      let blue = 0;
      let open = 1;
      for (const sight of inRow) {
        if (i < sight.left || i > sight.right) continue;
        const share = sight.cover(i, colour);
        if (share === 0) continue;
        const weight = open * share;
        red += weight * colour[0];
        green += weight * colour[1];
        blue += weight * colour[2];
        open -= weight;
        if (share === 1) break;
      }
      if (open === 1) continue;
      const to = ((j - patch.y) * patch.w + i - patch.x) * channels;
      if (channels === 1) light[to] = open * light[to] + luminanceOf(red, green, blue);
      else {
        light[to] = open * light[to] + red;
        light[to + 1] = open * light[to + 1] + green;
        light[to + 2] = open * light[to + 2] + blue;
      }
    }
  }
}
