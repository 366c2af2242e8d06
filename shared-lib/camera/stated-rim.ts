import { Failure } from '../contract/errors.ts';
import type { StatedRim } from '../contract/review.ts';
import type { Rim, Trace, TraceSample } from '../contract/trace.ts';
import { meanRadius, verticalRadius } from '../picture/rim-radii.ts';
import { rimOfPose } from './rim-of-pose.ts';

/** A hand places an edge this surely through a magnified view: one sigma, px and as a share of the radius, common practice. */
const handEdgePx = 0.7;
const handEdgeShare = 0.003;
/** An axis ratio that differs by this many sigmas of the hand's is a statement about the angle too. */
const significant = 2;
/** A rim that is so much smaller or larger than the ring that was followed is that of another disc. */
const mostTimes = 2;

/** How surely a hand draws a semi-axis, which lies between two edges: one sigma, px. */
export const handAxisSigmaPx = (rim: Pick<Rim, 'aPx' | 'bPx'>): number =>
  Math.hypot(handEdgePx, handEdgeShare * meanRadius(rim)) / Math.SQRT2;

/**
 * The trace with its rim as a person drew it: the drawn size holds where it was drawn and, by how the rim grows and
 * shrinks along the path, everywhere else. A camera's pose keeps its angles unless the drawn shape speaks against them.
 *
 * @throws Failure when the rim is not that of the disc that was followed
 */
export function withStatedRim(
  trace: Trace,
  stated: StatedRim,
  picture: { widthPx: number; heightPx: number },
): Trace {
  const at = nearestSeen(trace, stated.ptsS);
  const seen = trace.pose
    ? rimOfPose(trace.pose, at, picture, trace.lens)
    : { ...trace.rim, ...sizeAt(trace, at) };
  const times = meanRadius(stated) / meanRadius(seen);
  if (!(times > 1 / mostTimes && times < mostTimes))
    throw new Failure(
      'usage',
      'The rim that was drawn is not that of the disc that was followed.',
      'Point at the disc whose rim it is, or draw the rim again.',
    );
  const axisPx = handAxisSigmaPx(stated);
  const ratioSigma = (Math.SQRT2 * axisPx) / stated.aPx;
  const turned = Math.abs(stated.bPx / stated.aPx - seen.bPx / seen.aPx) > significant * ratioSigma;
  const { pose, ...rest } = trace;
  const sizeHere = meanRadius(trace.rim) / meanRadius(seen);
  const rim: Rim = {
    ...trace.rim,
    aPx: stated.aPx * sizeHere,
    bPx: stated.bPx * sizeHere,
    thetaRad: stated.thetaRad,
  };
  const drawn = {
    ...rest,
    samples: trace.samples.map((sample) => ({ ...sample, rimRadiusPx: sample.rimRadiusPx * times })),
    rim,
    rimSigma: { aPx: axisPx, bPx: axisPx },
  };
  if (!pose || turned) return drawn;
  return {
    ...drawn,
    pose: {
      ...pose,
      distanceRadii: pose.distanceRadii / times,
      thicknessRadii: pose.thicknessRadii / times,
      sigma: { ...pose.sigma, size: axisPx / meanRadius(stated) },
    },
  };
}

/** The trace's own rim as large as it was measured in one frame. */
function sizeAt({ rim }: Trace, { rimRadiusPx }: { rimRadiusPx: number }): Pick<Rim, 'aPx' | 'bPx'> {
  const times = rimRadiusPx > 0 ? rimRadiusPx / verticalRadius(rim) : 1;
  return { aPx: rim.aPx * times, bPx: rim.bPx * times };
}

/** The sample nearest to a moment of file time that says where the bar is. */
export function nearestSeen({ samples }: Trace, ptsS: number): TraceSample {
  const seen = samples.filter(({ state }) => state !== 'lost');
  return seen.reduce((a, b) => (Math.abs(b.ptsS - ptsS) < Math.abs(a.ptsS - ptsS) ? b : a));
}
