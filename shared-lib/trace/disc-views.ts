import type { Rim, Trace } from '../contract/trace.ts';
import { cutKernel, type Piece } from '../picture/cut-kernel.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { applySimilarity } from '../picture/similarity.ts';

/** The disc in one picture, cut out, to be looked at more closely when the whole path is known. */
export interface DiscView {
  frame: number;
  /** The ring as it was followed, in pixels of the picture. */
  ring: Rim;
  /** The cut-out's corner in the picture. */
  x0Px: number;
  y0Px: number;
  image: GreyImage;
}

/** Views of one disc along its path: a few at each height, the slowest first, within a bound of memory. */
export interface DiscViews {
  heights: Map<number, { speedPxPerS: number; view: DiscView }[]>;
}

/** Views at one height, and the step between heights as a share of the ring's radius. */
const perHeight = 3;
const heightStep = 0.35;
/** The cut-out reaches this far beyond the ring, as a multiple: what is followed may be a ring on the face. */
const margin = 1.65;
/** Memory for one disc's views. */
const mostBytes = 24e6;

export const noViews = (): DiscViews => ({ heights: new Map() });

/** Keeps a view when it is among the stillest at its height. `speedPxPerS` is how fast the disc moves in the picture. */
export function keepView(
  views: DiscViews,
  image: GreyImage,
  ring: Rim,
  frame: number,
  speedPxPerS: number,
): void {
  const height = Math.round(ring.yPx / (heightStep * ring.aPx));
  const here = views.heights.get(height) ?? [];
  const slowest = here.length < perHeight || speedPxPerS < here[here.length - 1].speedPxPerS;
  if (!slowest) return;
  const view = viewOf(image, ring, frame);
  if (view.image.data.length * perHeight * (views.heights.size + 1) > mostBytes) return;
  here.push({ speedPxPerS, view });
  here.sort((a, b) => a.speedPxPerS - b.speedPxPerS);
  views.heights.set(height, here.slice(0, perHeight));
}

export const viewsOf = ({ heights }: DiscViews): DiscView[] =>
  [...heights.values()]
    .flat()
    .map(({ view }) => view)
    .sort((a, b) => a.frame - b.frame);

/**
 * The disc cut out of a picture, with a margin round the ring.
 * @param room where its pixels go, if they fit
 */
export function viewOf(image: GreyImage, ring: Rim, frame: number, room?: Uint8Array): DiscView {
  const { x0Px, y0Px, width, height } = boxRound(image, ring);
  const bytes = width * height;
  const data = room && room.length >= bytes ? room.subarray(0, bytes) : new Uint8Array(bytes);
  const piece = { left: x0Px, top: y0Px, width, height };
  if (!cutKernel()?.cut(image, piece, data)) cutPlainly(image, piece, data);
  return { frame, ring, x0Px, y0Px, image: { width, height, data } };
}

/**
 * The disc in a piece of the picture that reaches at least as far; null where the piece does not.
 * @param picture the size of the whole picture
 */
export function viewWithin(
  piece: DiscView,
  picture: { width: number; height: number },
  ring: Rim,
): DiscView | null {
  const box = boxRound(picture, ring);
  const { x0Px, y0Px, image } = piece;
  const isHeld =
    box.x0Px >= x0Px &&
    box.y0Px >= y0Px &&
    box.x0Px + box.width <= x0Px + image.width &&
    box.y0Px + box.height <= y0Px + image.height;
  return isHeld ? { ...piece, ring } : null;
}

interface CutBox {
  x0Px: number;
  y0Px: number;
  width: number;
  height: number;
}

function boxRound({ width, height }: { width: number; height: number }, ring: Rim): CutBox {
  const reach = margin * ring.aPx;
  const x0Px = Math.max(0, Math.floor(ring.xPx - reach));
  const y0Px = Math.max(0, Math.floor(ring.yPx - reach));
  return {
    x0Px,
    y0Px,
    width: Math.max(0, Math.min(width, Math.ceil(ring.xPx + reach)) - x0Px),
    height: Math.max(0, Math.min(height, Math.ceil(ring.yPx + reach)) - y0Px),
  };
}

function cutPlainly(image: GreyImage, { left, top, width, height }: Piece, to: Uint8Array): void {
  for (let y = 0; y < height; y++) {
    const from = (top + y) * image.width + left;
    to.set(image.data.subarray(from, from + width), y * width);
  }
}

/** The views as the first frame's camera would have them, to a shift, and with the ring grown by a multiple. */
export function steadied(views: readonly DiscView[], trace: Trace, multiple: number): DiscView[] {
  return views.flatMap((view) => {
    const sample = trace.samples.at(view.frame);
    if (!sample) return [];
    const { ring } = view;
    const [xPx, yPx] = applySimilarity(sample.camera, ring.xPx, ring.yPx);
    const grown = { ...ring, xPx, yPx, aPx: ring.aPx * multiple, bPx: ring.bPx * multiple };
    return [{ ...view, ring: grown, x0Px: view.x0Px + xPx - ring.xPx, y0Px: view.y0Px + yPx - ring.yPx }];
  });
}
