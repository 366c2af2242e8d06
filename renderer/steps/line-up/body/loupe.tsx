/** How many times larger than the clip's own pixels, and how wide, CSS pixels. */
const zoom = 4;
const sizePx = 176;

/** What lies under the pointer, enlarged, with the place in its middle; in the corner that the pointer leaves free. */
export function Loupe({
  url,
  widthPx,
  heightPx,
  xPx,
  yPx,
}: {
  url: string;
  widthPx: number;
  heightPx: number;
  xPx: number;
  yPx: number;
}) {
  const isLeft = xPx > widthPx / 2;
  return (
    <span
      aria-hidden
      className="loupe"
      style={{
        width: sizePx,
        height: sizePx,
        [isLeft ? 'left' : 'right']: 8,
        backgroundImage: `url("${url}")`,
        backgroundSize: `${widthPx * zoom}px ${heightPx * zoom}px`,
        backgroundPosition: `${sizePx / 2 - (xPx + 0.5) * zoom}px ${sizePx / 2 - (yPx + 0.5) * zoom}px`,
      }}
    />
  );
}
