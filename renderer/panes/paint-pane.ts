import type { FollowedSide } from '../../shared-lib/contract/line-up.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import { applySimilarity, invertSimilarity } from '../../shared-lib/picture/similarity.ts';
import { drawBar, drawPath, drawWished } from './draw.ts';
import { toPane, type PaneScale } from './scale.ts';

export interface PaneDrawing {
  side: FollowedSide;
  name: SideName;
  frame: number;
  scale: PaneScale;
  /** The other rep's way, pixels of this clip's first frame. */
  otherPathPx: readonly (readonly [number, number])[];
  /** The wished path, one line a way, in the same pixels. */
  wishedPx: readonly (readonly (readonly [number, number])[])[];
}

type Point = [xPx: number, yPx: number];

/** Draws one frame with the bar's way up to it and the other rep's way; `ratio` is device pixels per pixel. */
export function paintPane(
  context: CanvasRenderingContext2D,
  picture: ImageBitmap,
  drawing: PaneDrawing,
  ratio: number,
): void {
  const { side, name, frame, scale, otherPathPx, wishedPx } = drawing;
  const { widthPx, heightPx } = side.clip.media;
  const { track } = side;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.clearRect(0, 0, context.canvas.width, context.canvas.height);
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.save();
  context.translate(scale.leftPx + (scale.mirrored ? widthPx * scale.factor : 0), scale.topPx);
  if (scale.mirrored) context.scale(-1, 1);
  context.drawImage(picture, 0, 0, widthPx * scale.factor, heightPx * scale.factor);
  context.restore();

  // Ways are kept in the first frame's pixels; the camera may stand elsewhere now.
  const back = track.camera.length > 0 ? invertSimilarity(track.camera[frame]) : null;
  const here = (x: number, y: number): Point => {
    const [xNow, yNow] = back ? applySimilarity(back, x, y) : [x, y];
    return toPane(scale, xNow, yNow);
  };
  drawPath(
    context,
    otherPathPx.map(([x, y]) => here(x, y)),
    name === 'reference' ? 'today' : 'reference',
    true,
  );
  for (const way of wishedPx) drawWished(context, way.map(([x, y]) => here(x, y))); // prettier-ignore
  drawPath(context, wayTo(side, frame, here), name, false);
  const [x, y] = [track.xPx[frame], track.yPx[frame]];
  if (x !== null && y !== null) drawBar(context, toPane(scale, x, y), name);
}

/** The bar's way from the rep's start to a frame; null where it was lost. */
function wayTo({ track, reps }: FollowedSide, frame: number, here: (x: number, y: number) => Point) {
  const { rep, window } = reps[0];
  const fromS = rep.start_s ?? window.fromS;
  const way: (Point | null)[] = [];
  for (let i = 0; i <= frame; i++) {
    if (track.tS[i] < fromS) continue;
    const [x, y] = [track.xPx[i], track.yPx[i]];
    if (x === null || y === null) {
      way.push(null);
      continue;
    }
    const [xFirst, yFirst] = track.camera.length > 0 ? applySimilarity(track.camera[i], x, y) : [x, y];
    way.push(here(xFirst, yFirst));
  }
  return way;
}
