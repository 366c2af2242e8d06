/** A label that wants to stand at yPx and takes heightPx. */
export interface Wanted {
  yPx: number;
  heightPx: number;
}

/**
 * Centres for labels in a column so that none overlaps, each as near to where it wants to stand as the
 * order allows, within the bounds where they fit. Takes any order, answers in the same.
 */
export function spread(labels: readonly Wanted[], topPx: number, bottomPx: number): number[] {
  const order = labels.map((_, i) => i).sort((a, b) => labels[a].yPx - labels[b].yPx);
  const y = labels.map((l) => l.yPx);
  const half = (i: number) => labels[i].heightPx / 2;
  let free = topPx;
  for (const i of order) {
    y[i] = Math.max(y[i], free + half(i));
    free = y[i] + half(i);
  }
  let limit = bottomPx;
  for (const i of order.reverse()) {
    y[i] = Math.min(y[i], limit - half(i));
    limit = y[i] - half(i);
  }
  return y;
}
