import { useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import type { FollowedSide } from '../../shared-lib/contract/line-up.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import { bridge, tell } from '../state/store.ts';
import { paintPane } from './paint-pane.ts';
import { Pictures } from './pictures.ts';
import { paneScale, type SharedScale } from './scale.ts';

/** Coarse pictures are as wide as this at most: two of them are fetched, decoded and painted within a blink. */
const coarsePx = 640;

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
  wishedPx,
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
  /** The wished path, pixels of the first frame, one line a way. */
  wishedPx: readonly (readonly (readonly [number, number])[])[];
  label: string;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { sha256, widthPx: clipWidthPx } = side.clip.media;
  const scale = useMemo(() => paneScale(side, shared, widthPx, mirrored), [side, shared, widthPx, mirrored]);
  const ratio = window.devicePixelRatio;
  // Pictures come in a few sizes, so that a drag of the window does not make them all anew.
  const sharpPx = Math.min(clipWidthPx, Math.ceil((clipWidthPx * scale.factor * ratio) / 320) * 320);
  const count = side.track.ptsS.length;
  const pictures = useMemo(
    () => new Pictures(sha256, { coarse: Math.min(coarsePx, clipWidthPx), sharp: sharpPx }, count),
    [sha256, sharpPx, clipWidthPx, count],
  );
  useEffect(() => {
    const frames = framesOfRep(side);
    pictures.prepare(frames);
    const prepare = (widthPx: number): Promise<unknown> =>
      bridge.call('prepareStills', { sha256, widthPx, frames });
    prepare(Math.min(coarsePx, clipWidthPx)).catch(tell);
    return () => pictures.clear();
  }, [pictures, sha256, clipWidthPx, side]);

  useLayoutEffect(() => {
    const paint = (): void => {
      const element = canvas.current;
      const found = pictures.get(frame);
      const context = element?.getContext('2d', { alpha: false });
      if (!element || !context || !found) return;
      paintPane(context, found.picture, { side, name, frame, scale, otherPathPx, wishedPx }, ratio);
      element.dataset.frame = String(frame);
      element.dataset.picture = found.kind;
    };
    const stop = pictures.listen((arrived) => arrived === frame && paint());
    pictures.show(frame);
    paint();
    return stop;
  }, [frame, pictures, scale, side, otherPathPx, wishedPx, name, ratio, widthPx, heightPx]);

  return (
    <canvas
      ref={canvas}
      role="img"
      aria-label={label}
      className={`pane ${name}`}
      width={Math.round(widthPx * ratio)}
      height={Math.round(heightPx * ratio)}
      style={{ width: widthPx, height: heightPx }}
    />
  );
}

/** The frames of the rep and a little round it, those of its events first. */
function framesOfRep({ track, reps }: FollowedSide): number[] {
  const { window, events } = reps[0];
  const inside = track.tS.flatMap((t, i) => (t >= window.fromS - 1 && t <= window.toS + 1 ? [i] : []));
  const near = inside.filter((i) => events.some(({ tS }) => Math.abs(track.tS[i] - tS) < 0.15));
  return [...new Set([...near, ...inside])];
}
