import { mean, median, minIndex, sum } from 'd3-array';
import type { Shutter, Trace } from '../contract/trace.ts';
import { edgeProfiles } from '../picture/edge-profile.ts';
import { centred, misfitOf, smearedEdges, type CentredProfile } from '../picture/smeared-edge.ts';
import type { DiscView } from './disc-views.ts';

/** The fastest pictures are looked at: so many, which show the disc so surely. */
const mostPictures = 32;
const fewestPictures = 6;
const leastConfidence = 0.6;
/** A bar that moves by less than this from picture to picture smears too little to tell, px. */
const leastMotionPx = 3;
/** Half of an edge that stands still, px, and the furthest that is looked to each side, as a share of the radius. */
const edgePx = 4;
const longestShare = 0.2;
/** Shares of the time from picture to picture that are tried. */
const shares = Array.from({ length: 21 }, (_, k) => k / 20);
/** Breadths of a still edge that are tried, one sigma, px. */
const breadthsPx = [0.6, 0.9, 1.3, 1.9, 2.7];
const shiftsPx = [-1, -0.5, 0, 0.5, 1];
/** A profile that fits worse than this, as a share of its own variance, is no plain edge. */
const worst = 0.12;
/** Lens, sharpening and compression are like a smear of this much, one sigma, px: measured on rendered clips. */
const likeSmearPx = 1.5;
/** Parts that the pictures are dealt into to see how much they differ. */
const parts = 6;

/**
 * The shutter by what it does to the rim's edge where the bar is fast: each profile across the edge is explained by a
 * step as broad as lens and compression make it, the same all over the clip, drawn out by the time times the speed
 * across the edge. The time is the one that explains all of them best. Null where the bar is too slow in the picture,
 * or its edge too seldom plain, to tell.
 *
 * @param pieceAt the disc cut out of a picture; null where none is kept
 */
export function shutterOf(trace: Trace, pieceAt: (frame: number) => DiscView | null): Shutter | null {
  const fast = fastest(trace);
  const intervalS = median(fast, (s) => s.intervalS) ?? 0;
  const costs = fast.flatMap(({ frame, vxPxPerS, vyPxPerS }) => {
    const piece = pieceAt(frame);
    const motionPx = intervalS * Math.hypot(vxPxPerS, vyPxPerS);
    if (!piece || motionPx < leastMotionPx) return [];
    const half = Math.ceil(Math.min(edgePx + motionPx / 2, longestShare * trace.rim.aPx));
    const { xPx, yPx } = trace.samples[frame];
    const rim = { ...trace.rim, xPx: xPx - piece.x0Px, yPx: yPx - piece.y0Px };
    const across = edgeProfiles(piece.image, rim, half).map(({ light, nx, ny }) => ({
      profile: centred(light),
      motionPx: intervalS * Math.abs(nx * vxPxPerS + ny * vyPxPerS),
    }));
    return [shares.map((share) => costOfPicture(across, share, half))];
  });
  if (costs.length < fewestPictures) return null;
  const best = bestShare(costs);
  const without = Array.from({ length: parts }, (_, part) =>
    bestShare(costs.filter((_, i) => i % parts !== part)),
  );
  const centre = mean(without)!;
  const sigma = Math.sqrt(((parts - 1) / parts) * sum(without, (v) => (v - centre) ** 2));
  const pxPerS = mean(fast, (s) => Math.hypot(s.vxPxPerS, s.vyPxPerS))!;
  return { exposureS: best * intervalS, sigmaS: Math.hypot(sigma * intervalS, likeSmearPx / pxPerS) };
}

/** What the profiles of one picture leave unexplained, for each breadth. */
function costOfPicture(
  across: readonly { profile: CentredProfile; motionPx: number }[],
  share: number,
  half: number,
): number[] {
  return breadthsPx.map((breadthPx) => {
    const shifted = shiftsPx.map((shiftPx) => smearedEdges(half, shiftPx, breadthPx));
    return sum(across, ({ profile, motionPx }) => {
      let least = worst;
      for (const edgeOf of shifted) least = Math.min(least, misfitOf(profile, edgeOf(share * motionPx)));
      return least;
    });
  });
}

/** The share with the least cost over all pictures, the breadth free, between steps by a parabola. */
function bestShare(costs: readonly number[][][]): number {
  const total = shares.map((_, k) => Math.min(...breadthsPx.map((_, b) => sum(costs, (of) => of[k][b]))));
  const at = minIndex(total);
  if (at === 0 || at === shares.length - 1) return shares[at];
  const [before, here, after] = [total[at - 1], total[at], total[at + 1]];
  return (at + (0.5 * (before - after)) / (before - 2 * here + after)) * shares[1];
}

interface Speed {
  frame: number;
  vxPxPerS: number;
  vyPxPerS: number;
  intervalS: number;
}

/** Where the disc moves fastest in the picture, in frames that show it well between two that do. */
function fastest({ samples, takenS, repeated = [] }: Trace): Speed[] {
  const skipped = new Set(repeated);
  const tS = takenS ?? samples.map((s) => s.ptsS);
  const shows = (i: number): boolean =>
    samples[i]?.state === 'seen' && samples[i].confidence >= leastConfidence && !skipped.has(i);
  const speeds = samples.flatMap((_, i): Speed[] => {
    if (!shows(i - 1) || !shows(i) || !shows(i + 1)) return [];
    const spanS = tS[i + 1] - tS[i - 1];
    if (!(spanS > 0)) return [];
    const vxPxPerS = (samples[i + 1].xPx - samples[i - 1].xPx) / spanS;
    const vyPxPerS = (samples[i + 1].yPx - samples[i - 1].yPx) / spanS;
    return [{ frame: i, vxPxPerS, vyPxPerS, intervalS: spanS / 2 }];
  });
  const speed = (s: Speed): number => Math.hypot(s.vxPxPerS, s.vyPxPerS);
  return speeds.sort((a, b) => speed(b) - speed(a)).slice(0, mostPictures);
}
