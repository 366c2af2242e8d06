/** How near both pictures are shown, and how far the view's middle is moved, in metres of the bar plane. */
export interface View {
  zoom: number;
  /** To the right on the screen. */
  rightM: number;
  upM: number;
}

export const wholeView: View = { zoom: 1, rightM: 0, upM: 0 };

const mostZoom = 6;
/** The view's middle stays this near to the bar's way. */
const mostM = 0.8;

const within = (value: number, most: number): number => Math.min(Math.max(value, -most), most);

export const moved = (view: View, rightM: number, upM: number): View => ({
  ...view,
  rightM: within(view.rightM + rightM, mostM),
  upM: within(view.upM + upM, mostM),
});

/**
 * Nearer or farther, so that what lies under a point stays there.
 *
 * @param factor above 1 is nearer
 * @param pxPerM now
 * @param fromMiddle where the point lies from the middle of its pane, pixels to the right and up
 */
export function zoomed(
  view: View,
  factor: number,
  pxPerM: number,
  fromMiddle = { rightPx: 0, upPx: 0 },
): View {
  const zoom = Math.min(Math.max(view.zoom * factor, 1), mostZoom);
  if (zoom === 1) return wholeView;
  const perPx = (1 - view.zoom / zoom) / pxPerM;
  return moved({ ...view, zoom }, fromMiddle.rightPx * perPx, fromMiddle.upPx * perPx);
}
