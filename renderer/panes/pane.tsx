import { useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import type { FollowedSide } from '../../shared-lib/contract/line-up.ts';
import type { SideName } from '../../shared-lib/contract/review.ts';
import { bridge, tell } from '../state/store.ts';
import { paintPane } from './paint-pane.ts';
import { Pictures } from './pictures.ts';
import { paneScale, type SharedScale } from './scale.ts';

/** Coarse pictures are as wide as this at most: two of them are fetched, decoded and painted within a blink. */
const coarsePx = 640;
/** Pictures in full come in a few widths, so that a drag of the window does not make them all anew. */
const sharpWidths = [640, 960, 1280, 1600, 1920, 2560, 3840];
/** Those made ahead take this much of the disk for a clip and a width at most; measured on the demo's clips. */
const mostBytes = 250e6;
const bytesPerPx = 0.12;

const sharpWidthPx = (clipWidthPx: number, shownPx: number): number =>
  Math.min(clipWidthPx, sharpWidths.find((widthPx) => widthPx >= shownPx) ?? clipWidthPx);

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
  const { sha256, widthPx: clipWidthPx, heightPx: clipHeightPx } = side.clip.media;
  const scale = useMemo(() => paneScale(side, shared, widthPx, mirrored), [side, shared, widthPx, mirrored]);
  const ratio = window.devicePixelRatio;
  const sharpPx = sharpWidthPx(clipWidthPx, clipWidthPx * scale.factor * ratio);
  const count = side.track.ptsS.length;
  const pictures = useMemo(
    () => new Pictures(sha256, { coarse: Math.min(coarsePx, clipWidthPx), sharp: sharpPx }, count),
    [sha256, sharpPx, clipWidthPx, count],
  );
  useEffect(() => {
    const frames = framesOfRep(side);
    const prepare = (widthPx: number, which: number[]): void =>
      void bridge.call('prepareStills', { sha256, widthPx, frames: which }).catch(tell);
    prepare(Math.min(coarsePx, clipWidthPx), frames);
    // Those in full follow, so that a playhead at rest need not wait for a decoder.
    const inFull = frames.slice(0, mostBytes / (bytesPerPx * sharpPx ** 2 * (clipHeightPx / clipWidthPx)));
    pictures.prepare(frames, () => prepare(sharpPx, inFull));
    return () => pictures.clear();
  }, [pictures, sha256, clipWidthPx, clipHeightPx, sharpPx, side]);

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
