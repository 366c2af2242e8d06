import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

export interface PaintedDisc {
  xPx: number;
  yPx: number;
  aPx: number;
  bPx: number;
  thetaRad: number;
  turnRad: number;
  /** Shift during the exposure, both axes; the centre is where it is at mid-exposure. */
  smearXPx?: number;
  smearYPx?: number;
}

export interface Paint {
  width: number;
  height: number;
  disc: PaintedDisc;
  noise?: number;
  seed?: number;
  /** Grey levels added over the whole picture, and a factor on its contrast. */
  brightness?: number;
  contrast?: number;
  /** Something in front of the disc. */
  occluder?: (xPx: number, yPx: number) => boolean;
  /** How bright that is, grey levels; 120 where left out. */
  occluderGrey?: number;
  /** No markings on the face. */
  plain?: boolean;
}

const per = 4;

/** A dark marked disc before a mottled wall; the disc point-sampled at 4 x 4 places a pixel and moments of the exposure. */
export function paintDisc(paint: Paint): GreyImage {
  const { width, height, disc } = paint;
  const random = seededRandom(paint.seed ?? 1);
  const data = new Uint8Array(width * height);
  const reach = disc.aPx + 2 + Math.hypot(disc.smearXPx ?? 0, disc.smearYPx ?? 0) / 2;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const near = Math.abs(x - disc.xPx) < reach && Math.abs(y - disc.yPx) < reach;
      const bare = paint.occluder?.(x, y)
        ? (paint.occluderGrey ?? 120)
        : near
          ? discPixel(paint, x, y)
          : wall(x, y);
      const grey =
        bare * (paint.contrast ?? 1) + (paint.brightness ?? 0) + (paint.noise ?? 0) * random.normal();
      data[y * width + x] = Math.max(0, Math.min(255, Math.round(grey)));
    }
  }
  return { width, height, data };
}

function discPixel({ disc, plain }: Paint, x: number, y: number): number {
  const c = Math.cos(disc.thetaRad);
  const s = Math.sin(disc.thetaRad);
  let sum = 0;
  for (let j = 0; j < per * per; j++) {
    const sx = x + ((j % per) + 0.5) / per - 0.5;
    const sy = y + (Math.floor(j / per) + 0.5) / per - 0.5;
    const share = (((j * 7 + 3) % 16) + 0.5) / 16 - 0.5;
    const dx = sx - disc.xPx - share * (disc.smearXPx ?? 0);
    const dy = sy - disc.yPx - share * (disc.smearYPx ?? 0);
    const u = (c * dx + s * dy) / disc.aPx;
    const v = (-s * dx + c * dy) / disc.bPx;
    const level = Math.hypot(u, v);
    sum += level < 1 ? face(level, Math.atan2(v, u) - disc.turnRad, plain ?? false) : wall(sx, sy);
  }
  return sum / (per * per);
}

function face(level: number, angle: number, plain: boolean): number {
  if (plain) return 45;
  if (level < 0.12) return 170;
  if (level > 0.86 && level < 0.9) return 70;
  const wedge = Math.cos(3 * angle) > 0.6 && level > 0.45 && level < 0.75;
  const dot = Math.hypot(level * Math.cos(angle) - 0.5, level * Math.sin(angle) - 0.3) < 0.12;
  return wedge ? 95 : dot ? 140 : 45;
}

const wall = (x: number, y: number): number =>
  150 +
  18 * Math.sin(x / 23) * Math.cos(y / 31) +
  10 * Math.sin(x / 7 + y / 11) +
  (Math.abs((y % 60) - 30) < 1.5 ? -40 : 0);
