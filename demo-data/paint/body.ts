import type { Pose, Side } from '../scene/pose.ts';
import type { LifterSpec } from '../scene/spec.ts';
import { add, mix, scale, type Vec3 } from '../scene/vec.ts';
import { limb, type Pen } from './pen.ts';

/** The lifter from the far side to the near side. `place` puts a body point into the scene. */
export function paintBody(pen: Pen, lifter: LifterSpec, pose: Pose, place: (p: Vec3) => Vec3): void {
  const k = lifter.build;
  const draw = (
    a: Vec3,
    b: Vec3,
    stations: readonly (readonly [number, number])[],
    colour: string,
    light = 1,
  ): void =>
    limb(
      pen,
      place(a),
      place(b),
      stations.map(([s, r]) => [s, r * k] as const),
      colour,
      light,
    );
  const leg = (s: Side, light: number): void => {
    draw(
      s.knee,
      s.ankle,
      [
        [0, 0.055],
        [0.3, 0.058],
        [1, 0.036],
      ],
      lifter.skin,
      light,
    );
    draw(
      add(s.ankle, [-0.05, -0.03, 0]),
      add(s.toe, [0, 0.01, 0]),
      [
        [0, 0.042],
        [1, 0.03],
      ],
      lifter.shoes,
      light,
    );
    draw(
      s.hip,
      s.knee,
      [
        [0, 0.09],
        [0.5, 0.085],
        [1, 0.06],
      ],
      lifter.shorts,
      light,
    );
  };
  const arm = (s: Side, light: number): void => {
    draw(
      s.elbow,
      s.hand,
      [
        [0, 0.044],
        [0.3, 0.045],
        [1, 0.03],
      ],
      lifter.skin,
      light,
    );
    draw(
      s.shoulder,
      s.elbow,
      [
        [0, 0.06],
        [0.5, 0.055],
        [1, 0.045],
      ],
      lifter.skin,
      light,
    );
    draw(
      s.shoulder,
      mix(s.shoulder, s.elbow, 0.5),
      [
        [0, 0.07],
        [1, 0.062],
      ],
      lifter.shirt,
      light,
    );
  };
  leg(pose.far, 0.6);
  arm(pose.far, 0.6);
  draw(
    pose.chest,
    pose.head,
    [
      [0, 0.06],
      [1, 0.055],
    ],
    lifter.skin,
    0.8,
  );
  draw(
    pose.head,
    add(pose.head, scale(pose.face, 0.02)),
    [
      [0, 0.1],
      [1, 0.09],
    ],
    lifter.skin,
  );
  draw(
    pose.pelvis,
    pose.chest,
    [
      [0, 0.12],
      [0.5, 0.12],
      [0.8, 0.13],
      [1, 0.1],
    ],
    lifter.shirt,
  );
  leg(pose.near, 1);
  arm(pose.near, 1);
}
