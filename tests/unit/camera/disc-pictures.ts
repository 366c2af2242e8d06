import type { DiscView } from '../../../shared-lib/trace/disc-views.ts';
import { centrePx, project, rimAt, type Camera } from './pinhole.ts';

export const radiusM = 0.225;

/** Light of a scene's parts, grey levels. */
const wall = 165;
const face = 60;
const side = 95;
const ringLight = 130;
const lip = 120;

/** What a disc and the wall behind it look like; plain when nothing is said. */
export interface Look {
  /** Share of the radius from which a lip outside a plain ring is nearly as light as the wall on average. */
  lipFrom?: number;
  /** Light of the lip and of the disc's side, and the face's, where they are other than usual. */
  edgeLight?: number;
  faceLight?: number;
  /** Light of the wall by place in the picture. */
  wallAt?: (uPx: number, vPx: number) => number;
}

/** Which part of a disc the ray through a pixel meets, by following the ray plane by plane from the near face to the far one. */
function lightAt(
  camera: Camera,
  thicknessM: number,
  x: number,
  y: number,
  uPx: number,
  vPx: number,
  { lipFrom = 1, wallAt, edgeLight, faceLight = face }: Look,
): number {
  for (let k = 0; k <= 6; k++) {
    const [px, py] = onDepth(camera, (-thicknessM * k) / 6, uPx, vPx);
    const share = Math.hypot(px - x, py - y) / radiusM;
    if (share > 1) continue;
    if (k > 0) return edgeLight ?? side;
    if (share > lipFrom) return edgeLight ?? lip;
    return share > 0.66 && share < 0.72 ? ringLight : faceLight;
  }
  return wallAt ? wallAt(uPx, vPx) : wall;
}

/** Where a ray meets the plane parallel to the bar plane at depth z (toward the camera positive), bar-plane metres. */
function onDepth(camera: Camera, z: number, uPx: number, vPx: number): [number, number] {
  const rad = Math.PI / 180;
  const [cy, sy] = [Math.cos(camera.yawDeg * rad), Math.sin(camera.yawDeg * rad)];
  const [cp, sp] = [Math.cos(camera.pitchDeg * rad), Math.sin(camera.pitchDeg * rad)];
  const [cr, sr] = [Math.cos(camera.rollDeg * rad), Math.sin(camera.rollDeg * rad)];
  const a = uPx - centrePx.x;
  const b = vPx - centrePx.y;
  const dx = (cr * a + sr * b) / camera.focalPx;
  const dy = -(-sr * a + cr * b) / camera.focalPx;
  // Camera axes to the plane's: undo pitch, then yaw.
  const turn = (p: readonly [number, number, number]): [number, number, number] => {
    const y1 = cp * p[1] + sp * p[2];
    const z1 = -sp * p[1] + cp * p[2];
    return [cy * p[0] - sy * z1, y1, sy * p[0] + cy * z1];
  };
  const from = turn([0, 0, camera.distanceM]);
  const way = turn([dx, dy, -1]);
  const t = (z - from[2]) / way[2];
  return [from[0] + t * way[0], from[1] + t * way[1]];
}

/** A cut-out of the disc at a place of the bar plane, antialiased and softened, with the ring that a follower would give. */
export function discView(
  camera: Camera,
  thicknessM: number,
  x: number,
  y: number,
  frame: number,
  look: Look = {},
): DiscView {
  const rim = rimAt(camera, x, y, radiusM);
  const reach = Math.ceil(1.45 * rim.aPx);
  const [cx, cy] = project(camera, x, y);
  const x0Px = Math.round(cx) - reach;
  const y0Px = Math.round(cy) - reach;
  const size = 2 * reach + 1;
  const data = new Uint8Array(size * size);
  // A box of two pixels' width sampled 3 x 3: as soft as a good lens.
  const steps = [-0.66, 0, 0.66];
  for (let v = 0; v < size; v++)
    for (let u = 0; u < size; u++) {
      let sum = 0;
      for (const dv of steps)
        for (const du of steps) sum += lightAt(camera, thicknessM, x, y, x0Px + u + du, y0Px + v + dv, look);
      data[v * size + u] = Math.round(sum / 9);
    }
  const ring = { ...rim, aPx: 1.005 * rim.aPx, bPx: 1.015 * rim.bPx, xPx: rim.xPx + 1.2, yPx: rim.yPx - 0.8 };
  return { frame, ring, x0Px, y0Px, image: { width: size, height: size, data } };
}
