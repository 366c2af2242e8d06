import { inverse, Matrix, solve } from 'ml-matrix';
import type { CameraPose, UprightEdge } from '../contract/trace.ts';
import type { Roll } from './plumb.ts';
import { upOf } from './pose-plane.ts';

const rad = Math.PI / 180;

/** Nobody films further askew than this without noticing; phones are held level to about 2 degrees (common practice). */
const mostRollRad = 9 * rad;
const rollPriorRad = 3 * rad;
/** How far one upright of a gym leans by itself, and how far all of them together (common practice). */
const ownLeanRad = 0.35 * rad;
const leanTogetherRad = 0.2 * rad;
/** A camera looks up or down by this much, one sigma (common practice), through a lens of about the picture's length. */
const pitchPriorRad = 7 * rad;
const usualFocal = 0.95;
const stepRad = 0.1 * rad;
/** Edges nearer together than this share of the picture's width belong to one upright. */
const apartShare = 0.025;
/** So much upright edge, as a share of the picture's height, and so many uprights make a plumb line. */
const leastLengthShare = 0.35;
const leastUprights = 2;
/** A second direction that so many edges agree on leaves it open which of them is up. */
const mostRival = 0.75;

/**
 * Which way is up, from upright edges of the background. Seen from a camera that looks up or down uprights converge:
 * to first order an upright x pixels right of the picture's middle leans by roll - k x, with k the tangent of the
 * camera's pitch over the focal length. Both are found by the agreement of most edges, the pitch near what the pose of
 * the bar plane says.
 *
 * @returns null where too few edges agree
 */
export function proposeUp(
  edges: readonly UprightEdge[],
  picture: { widthPx: number; heightPx: number },
  pose: CameraPose | null,
): Roll | null {
  const cx = (picture.widthPx - 1) / 2;
  const lines = edges
    .filter((e) => Math.abs(e.leanRad) < 2 * mostRollRad)
    .map((e): Line => ({
      x: e.xPx - cx,
      xPx: e.xPx,
      leanRad: e.leanRad,
      sigmaRad: Math.hypot(e.leanSigmaRad, ownLeanRad),
      // Long edges count for more, but no edge for a whole picture of them.
      weight: Math.min(1, e.lengthPx / (0.3 * picture.heightPx)),
      lengthPx: e.lengthPx,
    }));
  const { pitch, best } = agreedOn(lines, picture, pose);
  if (!best) return null;
  const rival = vote(lines, pitch, (roll) => Math.abs(roll - best.roll) > 1.5 * rad);
  const { roll, sigma, agreeing } = refine(lines, best, pitch);
  const lengthPx = agreeing.reduce((s, l) => s + l.lengthPx, 0);
  const uprights = countApart(agreeing, apartShare * picture.widthPx);
  if (lengthPx < leastLengthShare * picture.heightPx || uprights < leastUprights) return null;
  if (rival && rival.score > mostRival * best.score) return null;
  // Edges of one upright lean together, so that uprights count, not edges.
  const own = (ownLeanRad / Math.sqrt(uprights)) * (uprights < 3 ? 1.5 : 1);
  return { rollRad: roll, rollSigmaRad: Math.hypot(leanTogetherRad, sigma, own), plumb: 'proposed' };
}

interface Line {
  x: number;
  xPx: number;
  leanRad: number;
  sigmaRad: number;
  weight: number;
  lengthPx: number;
}

interface Convergence {
  mean: number;
  sigma: number;
}

/** The pose's own word on the pitch stands unless so many times as many edges agree without it. Set by judgement. */
const withoutPose = 1.25;

/** What most edges agree on, near the pitch that the pose says; of a plain disc that can be degrees off. */
function agreedOn(
  lines: readonly Line[],
  picture: { widthPx: number; heightPx: number },
  pose: CameraPose | null,
): { pitch: Convergence; best: Agreement | null } {
  const of = (pitch: Convergence) => ({ pitch, best: vote(lines, pitch, () => true) });
  const usual = of(convergencePrior(picture, null));
  const byPose = pose ? of(convergencePrior(picture, pose)) : usual;
  const agreeing = ({ best }: typeof usual): number => best?.agreeing ?? 0;
  return agreeing(usual) > withoutPose * agreeing(byPose) ? usual : byPose;
}

/** The change of lean per pixel to the left, as the pose of the bar plane has it or else as cameras are held. */
function convergencePrior(
  picture: { widthPx: number; heightPx: number },
  pose: CameraPose | null,
): Convergence {
  if (!pose) {
    const focalPx = usualFocal * Math.max(picture.widthPx, picture.heightPx);
    return { mean: 0, sigma: Math.tan(pitchPriorRad) / focalPx };
  }
  const up = upOf(pose.normal, 0);
  // A loaded bar is not level to better than this, and bends (common practice).
  const sigma = Math.hypot(pose.sigma.pitchRad, 1.5 * rad, up[2] * pose.sigma.logFocal);
  return { mean: up[2] / -up[1] / pose.focalPx, sigma: sigma / pose.focalPx };
}

interface Agreement {
  roll: number;
  k: number;
  /** How many edges agree, by their weights, and the same with how likely roll and pitch are. */
  agreeing: number;
  score: number;
}

const kernel = (line: Line, roll: number, k: number): number =>
  Math.max(0, 1 - ((line.leanRad - roll + k * line.x) / (2.5 * line.sigmaRad)) ** 2);

/** The roll and convergence that most edges agree with, of a grid over what cameras do. */
function vote(
  lines: readonly Line[],
  pitch: Convergence,
  allowed: (roll: number) => boolean,
): Agreement | null {
  let best: Agreement | null = null;
  for (let roll = -mostRollRad; roll <= mostRollRad; roll += stepRad) {
    if (!allowed(roll)) continue;
    for (let n = -10; n <= 10; n++) {
      const k = pitch.mean + (n / 4) * pitch.sigma;
      const agreeing = lines.reduce((s, line) => s + line.weight * kernel(line, roll, k), 0);
      const score = agreeing * Math.exp(-0.5 * (roll / rollPriorRad) ** 2 - 0.125 * (n / 4) ** 2);
      if (score > (best?.score ?? 0)) best = { roll, k, agreeing, score };
    }
  }
  return best;
}

/** Weighted least squares over the edges that agree. */
function refine(lines: readonly Line[], start: Agreement, pitch: Convergence) {
  let { roll, k } = start;
  let agreeing: Line[] = [];
  let normal = Matrix.eye(2);
  for (let round = 0; round < 5; round++) {
    normal = Matrix.zeros(2, 2);
    const right = Matrix.zeros(2, 1);
    agreeing = lines.filter((line) => kernel(line, roll, k) > 0);
    const add = (a: readonly [number, number], value: number, weight: number): void => {
      for (const i of [0, 1] as const) {
        right.set(i, 0, right.get(i, 0) + weight * a[i] * value);
        for (const j of [0, 1] as const) normal.set(i, j, normal.get(i, j) + weight * a[i] * a[j]);
      }
    };
    for (const line of agreeing)
      add([1, -line.x], line.leanRad, (line.weight * kernel(line, roll, k)) / line.sigmaRad ** 2);
    add([0, 1], pitch.mean, 1 / pitch.sigma ** 2);
    const solution = solve(normal, right);
    roll = solution.get(0, 0);
    k = solution.get(1, 0);
  }
  return { roll, sigma: Math.sqrt(inverse(normal).get(0, 0)), agreeing };
}

/** How many lines there are at most that lie apart from each other. */
function countApart(lines: readonly Line[], apartPx: number): number {
  let count = 0;
  let last = -Infinity;
  for (const { xPx } of [...lines].sort((a, b) => a.xPx - b.xPx)) {
    if (xPx - last <= apartPx) continue;
    count++;
    last = xPx;
  }
  return count;
}
