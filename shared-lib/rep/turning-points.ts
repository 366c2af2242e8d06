export interface TurningPoint {
  /** Sample index. */
  i: number;
  value: number;
  kind: 'peak' | 'valley';
}

/**
 * The alternating peaks and valleys of a signal over samples [first, last] whose neighbours differ by at
 * least `prominence`. The first and the last entry may be the ends of the range.
 */
export function turningPoints(
  signal: Float64Array,
  first: number,
  last: number,
  prominence: number,
): TurningPoint[] {
  const points: TurningPoint[] = [];
  let high = first;
  let low = first;
  let direction = 0;
  const add = (i: number, kind: TurningPoint['kind']): void => {
    points.push({ i, value: signal[i], kind });
  };
  for (let i = first; i <= last; i++) {
    const v = signal[i];
    if (direction >= 0 && v > signal[high]) high = i;
    if (direction <= 0 && v < signal[low]) low = i;
    if (direction >= 0 && v <= signal[high] - prominence) {
      add(high, 'peak');
      direction = -1;
      low = i;
    } else if (direction <= 0 && v >= signal[low] + prominence) {
      add(low, 'valley');
      direction = 1;
      high = i;
    }
  }
  if (direction > 0) add(high, 'peak');
  else if (direction < 0) add(low, 'valley');
  return points;
}
