/** A series at a time, linear between samples; null outside it and where the bar was lost. */
export function valueAt(
  tS: readonly number[],
  values: readonly (number | null)[],
  atS: number,
): number | null {
  const last = tS.length - 1;
  if (last < 0 || atS < tS[0] || atS > tS[last]) return null;
  let [lo, hi] = [0, last];
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (tS[mid] <= atS) lo = mid;
    else hi = mid;
  }
  const [a, b] = [values[lo], values[hi]];
  if (a === null || b === null) return null;
  const span = tS[hi] - tS[lo];
  return span > 0 ? a + ((atS - tS[lo]) / span) * (b - a) : a;
}
