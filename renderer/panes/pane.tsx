import { useEffect, useMemo, useRef } from 'react';
import type { FollowedSide } from '../../shared-lib/contract/line-up.ts';
import { applySimilarity, invertSimilarity } from '../../shared-lib/picture/similarity.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import { drawBar, drawPath } from './draw.ts';
import { Pictures } from './pictures.ts';
import { paneScale, toPane, type SharedScale } from './scale.ts';

/** Frames fetched ahead of the playhead, and behind. */
const [ahead, behind] = [40, 16];

/**
 * One clip at one frame with the bar's way up to there, and the other rep's way laid in. Picture and drawing share one
 * surface, so that they can never be of different frames.
 */
export function Pane({
  side,
  name,
  frame,
  shared,
  widthPx,
  heightPx,
  mirrored,
  otherPathPx,
  label,
}: {
  side: FollowedSide;
  name: SideName;
  frame: number;
  shared: SharedScale;
  widthPx: number;
  heightPx: number;
  mirrored: boolean;
  otherPathPx: readonly (readonly [number, number])[];
  label: string;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const draw = useRef<(frame: number) => void>(() => undefined);
  const { sha256, widthPx: clipWidthPx } = side.clip.media;
  const scale = useMemo(() => paneScale(side, shared, widthPx, mirrored), [side, shared, widthPx, mirrored]);
  // Pictures come in a few sizes, so that a drag of the window does not make them all anew.
  const stillPx = Math.min(clipWidthPx, Math.ceil((clipWidthPx * scale.factor * devicePixelRatio) / 160) * 160);
  const pictures = useMemo(
    () => new Pictures(sha256, stillPx, (arrived) => draw.current(arrived)),
    [sha256, stillPx],
  );
  useEffect(() => () => pictures.close(), [pictures]);

  useEffect(() => {
    const last = side.track.ptsS.length - 1;
    const frames = [frame];
    for (let k = 1; k <= ahead; k++) {
      if (frame + k <= last) frames.push(frame + k);
      if (k <= behind && frame - k >= 0) frames.push(frame - k);
    }
    pictures.want(frames);
    draw.current = (arrived) => {
      if (arrived === frame) paint();
    };
    const paint = (): void => {
      const element = canvas.current;
      const picture = pictures.get(frame);
      const context = element?.getContext('2d');
      if (!element || !context || !picture) return;
      const ratio = devicePixelRatio;
      context.setTransform(ratio, 0, 0, ratio, 0, 0);
      context.clearRect(0, 0, widthPx, heightPx);
      context.save();
      if (mirrored) {
        context.translate(scale.leftPx + clipWidthPx * scale.factor, scale.topPx);
        context.scale(-1, 1);
      } else context.translate(scale.leftPx, scale.topPx);
      context.drawImage(picture, 0, 0, clipWidthPx * scale.factor, side.clip.media.heightPx * scale.factor);
      context.restore();
      drawOver(context);
      element.dataset.frame = String(frame);
    };
    const drawOver = (context: CanvasRenderingContext2D): void => {
      const { track, reps } = side;
      const back = track.camera.length > 0 ? invertSimilarity(track.camera[frame]) : null;
      const here = (x: number, y: number): [number, number] =>
        toPane(scale, ...((back ? applySimilarity(back, x, y) : [x, y]) as [number, number]));
      const { window, rep } = reps[0];
      const fromS = rep.start_s ?? window.fromS;
      const way: ([number, number] | null)[] = [];
      for (let i = 0; i <= frame; i++) {
        if (track.tS[i] < fromS) continue;
        const [x, y] = [track.xPx[i], track.yPx[i]];
        if (x === null || y === null) way.push(null);
        else {
          const first = track.camera.length > 0 ? applySimilarity(track.camera[i], x, y) : [x, y];
          way.push(here(first[0], first[1]));
        }
      }
      drawPath(context, otherPathPx.map(([x, y]) => here(x, y)), name === 'reference' ? 'today' : 'reference', true);
      drawPath(context, way, name, false);
      const [x, y] = [track.xPx[frame], track.yPx[frame]];
      if (x !== null && y !== null) drawBar(context, toPane(scale, x, y), name);
    };
    paint();
  }, [frame, pictures, scale, widthPx, heightPx, side, otherPathPx, name, mirrored, clipWidthPx]);

  return (
    <canvas
      ref={canvas}
      role="img"
      aria-label={label}
      className={`pane ${name}`}
      width={Math.round(widthPx * devicePixelRatio)}
      height={Math.round(heightPx * devicePixelRatio)}
      style={{ width: widthPx, height: heightPx }}
    />
  );
}
