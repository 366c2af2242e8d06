import { velocityCurve, type Knot, type VelocityCurve } from './velocity-curve.ts';
import type { DrivePlan } from '../scene/spec.ts';

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
