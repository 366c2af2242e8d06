import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from './grey-image.ts';
import { lightAt } from './light.ts';
import { candidatesPerRay, findRimEdges } from './rim-edges.ts';

/** Light across the rim's edge on one ray, a pixel apart, from inside to outside, the edge in the middle. */
export interface EdgeProfile {
  light: Float64Array;
  /** The ray's direction, outward. */
  nx: number;
  ny: number;
}

const rays = 48;
/** Edges fainter than this are too noisy to say how broad they are, grey levels. */
const leastStep = 12;

/**
 * Profiles of the rim's plain edges.
 * @param rim centred where the disc is in this picture
 * @param half how far a profile reaches to each side, whole pixels
 */
export function edgeProfiles(image: GreyImage, rim: Rim, half: number): EdgeProfile[] {
  const options = { rays, searchPx: 2 + 0.02 * rim.aPx, smearXPx: half, smearYPx: half, minStep: leastStep };
  const edges = findRimEdges(image, rim, options);
  const profiles: EdgeProfile[] = [];
  for (let i = 0; i < rays; i++) {
    const offset = edges.offsetPx[i * candidatesPerRay];
    if (Number.isNaN(offset)) continue;
    const [nx, ny] = [edges.nx[i], edges.ny[i]];
    const light = lightAlong(image, edges.xPx[i] + offset * nx, edges.yPx[i] + offset * ny, nx, ny, half);
    if (light) profiles.push({ light, nx, ny });
  }
  return profiles;
}

/** Null where the ray leaves the picture. */
function lightAlong(
  image: GreyImage,
  xPx: number,
  yPx: number,
  nx: number,
  ny: number,
  half: number,
): Float64Array | null {
  const light = new Float64Array(2 * half + 1);
  for (let k = 0; k <= 2 * half; k++) {
    light[k] = lightAt(image, xPx + (k - half) * nx, yPx + (k - half) * ny);
    if (Number.isNaN(light[k])) return null;
  }
  return light;
}
