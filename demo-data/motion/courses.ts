import { velocityCurve, type Knot, type VelocityCurve } from './velocity-curve.ts';
import type { BreakPlan, DrivePlan } from '../scene/spec.ts';

/** Stretches a curve in time so that it covers `distanceM`; velocities stay as they are. */
function stretched(knots: Knot[], distanceM: number): VelocityCurve {
  const k = distanceM / velocityCurve(knots).position(Infinity);
  return velocityCurve(
    knots.map((n) => ({
      tS: n.tS * k,
      vMps: n.vMps,
      ...(n.slope === undefined ? {} : { slope: n.slope / k }),
    })),
  );
}

/**
 * The way down: a controlled lowering that is quickest before half-way and slows over the last third. With
 * `intoTurn` it meets the turn at the bottom while still braking, otherwise it comes to rest.
 */
export function descentCurve(distanceM: number, durationS: number, intoTurn: boolean): VelocityCurve {
  const shape: readonly (readonly [number, number])[] = [
    [0, 0],
    [0.22, 0.8],
    [0.45, 1],
    [0.78, 0.62],
    [1, 0],
  ];
  const knots = (peakMps: number): Knot[] =>
    shape.map(([s, v], i) => ({
      tS: s * durationS,
      vMps: -v * peakMps,
      ...(intoTurn && i === shape.length - 1 ? { slope: (1.6 * peakMps) / (0.22 * durationS) } : {}),
    }));
  const covered = -velocityCurve(knots(1)).position(Infinity);
  return velocityCurve(knots(distanceM / covered));
}

/** The way up, with or without a slow point between two peaks; the peaks and the slow point are exact. */
export function driveCurve(plan: DrivePlan, distanceM: number, fromTurn: boolean): VelocityCurve {
  const { firstPeakMps: a, slowMps: slow, secondPeakMps: b } = plan;
  const knots: Knot[] =
    slow === null
      ? [
          { tS: 0, vMps: 0 },
          { tS: 0.3, vMps: 0.88 * a },
          { tS: 0.6, vMps: Math.max(a, b) },
          { tS: 0.85, vMps: 0.55 * b },
          { tS: 1, vMps: 0 },
        ]
      : [
          { tS: 0, vMps: 0 },
          { tS: 0.15, vMps: a },
          { tS: 0.47, vMps: slow },
          { tS: 0.78, vMps: b },
          { tS: 0.91, vMps: 0.6 * b },
          { tS: 1, vMps: 0 },
        ];
  if (fromTurn) knots[0] = { ...knots[0], slope: (1.6 * knots[1].vMps) / knots[1].tS };
  return stretched(knots, distanceM);
}

/** A drive that dies: one hill, then rest. */
export function failedDriveCurve(plan: DrivePlan, distanceM: number): VelocityCurve {
  return stretched(
    [
      { tS: 0, vMps: 0 },
      { tS: 0.25, vMps: plan.firstPeakMps },
      { tS: 0.6, vMps: 0.35 * plan.firstPeakMps },
      { tS: 1, vMps: 0 },
    ],
    distanceM,
  );
}

/** Curves one after another. */
function chained(curves: readonly VelocityCurve[]): VelocityCurve {
  let [endS, endM] = [0, 0];
  const links = curves.map((curve) => {
    const link = { curve, fromS: endS, fromM: endM };
    endS += curve.durationS;
    endM += curve.position(curve.durationS);
    return link;
  });
  const find = (tS: number) => links.findLast((l) => tS >= l.fromS) ?? links[0];
  return {
    durationS: endS,
    position(tS) {
      const { curve, fromS, fromM } = find(tS);
      return fromM + curve.position(tS - fromS);
    },
    velocity(tS) {
      const { curve, fromS } = find(tS);
      return curve.velocity(tS - fromS);
    },
  };
}

const restCurve = (durationS: number): VelocityCurve => ({ durationS, position: () => 0, velocity: () => 0 });

/** Greatest acceleration of a short move of a loaded bar, m/s²; common practice. */
const shortMoveMps2 = 4;

/** A short move up or down from rest to rest; the peak is lower where the way is too short to reach it. */
export function hillCurve(distanceM: number, peakMps: number): VelocityCurve {
  const way = Math.abs(distanceM);
  // Two cubics from rest to the peak and back are steepest at 3 v²/(2 distance).
  const peak = Math.min(peakMps, Math.sqrt((shortMoveMps2 * way) / 1.5));
  const durationS = (2 * way) / peak;
  return velocityCurve([
    { tS: 0, vMps: 0 },
    { tS: durationS / 2, vMps: Math.sign(distanceM) * peak },
    { tS: durationS, vMps: 0 },
  ]);
}

/** A drive that is interrupted: it stops, or falls back a little, rests and goes on. */
export function brokenDriveCurve(
  plan: DrivePlan,
  distanceM: number,
  fromTurn: boolean,
  breaks: readonly BreakPlan[],
): VelocityCurve {
  if (breaks.length === 0) return driveCurve(plan, distanceM, fromTurn);
  let atM = 0;
  const pieces = breaks.flatMap(({ atShare, fallM, stillS }, i) => {
    const up = atShare * distanceM - atM;
    atM += up - fallM;
    return [
      hillCurve(up, i === 0 ? plan.firstPeakMps : plan.secondPeakMps),
      ...(fallM > 0 ? [hillCurve(-fallM, plan.firstPeakMps)] : []),
      restCurve(stillS),
    ];
  });
  const leftM = distanceM - atM;
  // What is left of a drive has its slow point only where most of the way is left.
  const last =
    leftM > 0.7 * distanceM ? driveCurve(plan, leftM, false) : hillCurve(leftM, plan.secondPeakMps);
  return chained([...pieces, last]);
}

/** How long a bar takes to settle into the chest, seconds. */
export const sinkS = 0.35;

/** Time on the chest: the bar sinks at once and then rests. */
export const chestCurve = (sinkM: number, durationS: number): VelocityCurve =>
  chained([hillCurve(-sinkM, (2 * sinkM) / sinkS), restCurve(Math.max(0, durationS - sinkS))]);

const gravityMps2 = 9.81;
/** Speed after the floor over speed before it: rubber discs on a platform; common practice. */
export const bounceShare = 0.25;

/** A bar let go: free fall, and bounces until they are lower than 1 mm. */
export function dropCurve(distanceM: number): VelocityCurve {
  const hits: { fromS: number; upMps: number; lastsS: number }[] = [];
  let atS = Math.sqrt((2 * distanceM) / gravityMps2);
  const fallS = atS;
  let upMps = bounceShare * gravityMps2 * fallS;
  while (upMps ** 2 / (2 * gravityMps2) > 0.001) {
    const lastsS = (2 * upMps) / gravityMps2;
    hits.push({ fromS: atS, upMps, lastsS });
    atS += lastsS;
    upMps *= bounceShare;
  }
  const hitAt = (tS: number) => hits.findLast((h) => tS >= h.fromS && tS < h.fromS + h.lastsS);
  return {
    durationS: atS,
    position(tS) {
      if (tS < fallS) return (-gravityMps2 * tS * tS) / 2;
      const hit = hitAt(tS);
      const s = hit ? tS - hit.fromS : 0;
      return -distanceM + (hit ? s * (hit.upMps - (gravityMps2 * s) / 2) : 0);
    },
    velocity(tS) {
      if (tS < fallS) return -gravityMps2 * tS;
      const hit = hitAt(tS);
      return hit ? hit.upMps - gravityMps2 * (tS - hit.fromS) : 0;
    },
  };
}
