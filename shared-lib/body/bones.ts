import { mean } from 'd3-array';
import type { Joint } from '../contract/body.ts';
import type { BodyPoint, BodyPoints } from './geometry.ts';

/**
 * Bones that keep their length from event to event, and by how much the length between marks under skin and cloth still
 * changes, one sigma, metres: common practice. A trunk bends, so it is none.
 */
const bones: readonly (readonly [from: Joint, to: Joint, sigmaM: number])[] = [
  ['hip', 'knee', 0.01],
  ['knee', 'ankle', 0.008],
  ['shoulder', 'elbow', 0.012],
  ['elbow', 'wrist', 0.008],
];

/** By how much each bone's length is off its mean over the events that show it, in sigmas; bones of one event are left out. */
export function boneMisfits(moments: readonly BodyPoints[]): number[] {
  return bones.flatMap(([from, to, sigmaM]) => {
    const lengths = moments.flatMap((points) => {
      const [a, b] = [points[from], points[to]];
      return a && b ? [distance(a, b)] : [];
    });
    if (lengths.length < 2) return [];
    const middle = mean(lengths)!;
    return lengths.map((length) => (length - middle) / sigmaM);
  });
}

const distance = ([ax, ay, az = 0]: BodyPoint, [bx, by, bz = 0]: BodyPoint): number =>
  Math.hypot(ax - bx, ay - by, az - bz);
