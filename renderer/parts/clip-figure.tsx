import type { ReactNode } from 'react';
import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import { bridge } from '../state/store.ts';
import './clip-figure.css';
import { useSize } from './use-size.ts';

export interface PointPx {
  xPx: number;
  yPx: number;
}

/** Width of the magnified view and how many times it magnifies, of the screen and of the clip's own pixels at least. */
const loupePx = 176;
const leastTimes = 4;
/** How far beside the point it stands, screen pixels. */
const besidePx = 28;

/**
 * A picture of a clip with drawings in the clip's own pixels, and beside the point that is being set a magnified view of
 * the picture in full resolution.
 *
 * @param draw the drawing; `unit` is one screen pixel in pixels of the clip
 */
export function ClipFigure({
  media,
  frame,
  alt,
  loupe,
  draw,
  onPoint,
  onHover,
}: {
  media: MediaInfo;
  frame: number;
  alt: string;
  loupe: PointPx | null;
  draw: (unit: number, isLoupe: boolean) => ReactNode;
  /** Hears where the picture was clicked, where a click means something. */
  onPoint?: ((at: PointPx) => void) | undefined;
  /** Hears where the pointer is over the picture, and that it left. */
  onHover?: ((at: PointPx | null) => void) | undefined;
}) {
  const [box, { widthPx: shownPx }] = useSize<HTMLElement>();
  const { widthPx, heightPx, sha256 } = media;
  const unit = shownPx > 0 ? widthPx / shownPx : 1;
  return (
    <figure
      ref={box}
      className={`clip-figure ${onPoint ? 'pointing' : ''}`}
      style={{
        aspectRatio: `${widthPx} / ${heightPx}`,
        maxWidth: `calc(var(--figure-height, 58vh) * ${widthPx / heightPx})`,
      }}
    >
      <img
        width={widthPx}
        height={heightPx}
        src={bridge.transport.stillUrl(sha256, frame, Math.min(widthPx, 960))}
        alt={alt}
      />
      <svg
        viewBox={`-0.5 -0.5 ${widthPx} ${heightPx}`}
        onClick={(event) => onPoint?.(pointIn(event.currentTarget, event, media))}
        onPointerMove={(event) => onHover?.(pointIn(event.currentTarget, event, media))}
        onPointerLeave={() => onHover?.(null)}
      >
        {draw(unit, false)}
      </svg>
      {loupe && <Loupe media={media} frame={frame} at={loupe} unit={unit} draw={draw} />}
    </figure>
  );
}

function Loupe({
  media: { sha256, widthPx, heightPx },
  frame,
  at,
  unit,
  draw,
}: {
  media: MediaInfo;
  frame: number;
  at: PointPx;
  unit: number;
  draw: (unit: number, isLoupe: boolean) => ReactNode;
}) {
  const times = leastTimes * Math.max(1, 1 / unit);
  const sidePx = loupePx / times;
  const left = (at.xPx + 0.5) / unit;
  const top = (at.yPx + 0.5) / unit;
  const isRight = at.xPx < widthPx / 2;
  return (
    <div
      className="loupe"
      data-times={times}
      style={{
        left: isRight ? left + besidePx : left - besidePx - loupePx,
        top: Math.min(Math.max(top - loupePx / 2, 0), Math.max(0, heightPx / unit - loupePx)),
        width: loupePx,
        height: loupePx,
      }}
    >
      <svg
        viewBox={`${at.xPx - sidePx / 2} ${at.yPx - sidePx / 2} ${sidePx} ${sidePx}`}
        width={loupePx}
        height={loupePx}
        aria-hidden
      >
        {/* The small picture stands in until the full one is made. */}
        {[Math.min(widthPx, 960), null].map((width) => (
          <image
            key={width}
            href={bridge.transport.stillUrl(sha256, frame, width)}
            x={-0.5}
            y={-0.5}
            width={widthPx}
            height={heightPx}
          />
        ))}
        {draw(1 / times, true)}
        <path
          className="loupe-cross"
          d={`M${at.xPx - sidePx / 2},${at.yPx}h${sidePx}M${at.xPx},${at.yPx - sidePx / 2}v${sidePx}`}
        />
      </svg>
    </div>
  );
}

/** Where in the clip a pointer is: the middle of the top-left pixel is (0, 0). */
export function pointIn(
  picture: Element,
  { clientX, clientY }: { clientX: number; clientY: number },
  { widthPx, heightPx }: Pick<MediaInfo, 'widthPx' | 'heightPx'>,
): PointPx {
  const box = picture.getBoundingClientRect();
  return {
    xPx: ((clientX - box.left) / box.width) * widthPx - 0.5,
    yPx: ((clientY - box.top) / box.height) * heightPx - 0.5,
  };
}
