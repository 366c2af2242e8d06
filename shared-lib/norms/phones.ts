/** Focal length over the picture's longer side of a phone's main camera, filmed and steadied (common practice). */
export const usualFocalLength = 0.95;
/** The same in pixels of a clip as displayed. */
export const usualFocalPx = ({ widthPx, heightPx }: { widthPx: number; heightPx: number }): number =>
  usualFocalLength * Math.max(widthPx, heightPx);
/** One sigma of it, relative: zoomed in and wide lenses are in use too (common practice). */
export const usualFocalSigma = 0.35;

/** How long a phone takes to read its rows, real seconds: 5 to 30 ms and no longer than a frame (common practice). */
export const usualReadOut = (intervalS: number): { leastS: number; mostS: number } => ({
  leastS: Math.min(0.005, intervalS / 2),
  mostS: Math.min(0.03, intervalS),
});
