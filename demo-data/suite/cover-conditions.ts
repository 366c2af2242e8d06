import type { ExtraSpec } from '../scene/extra-spec.ts';
import type { SceneSpec } from '../scene/spec.ts';
import type { Condition, OrdinaryScene } from './conditions.ts';
import { drawLook, momentOf, sightAt } from './sight.ts';

/** Adds to what else is in the scene. */
export const withExtras = (
  scene: OrdinaryScene,
  extras: (spec: SceneSpec) => ExtraSpec[],
): OrdinaryScene => ({ ...scene, extras: [...(scene.extras ?? []), extras] });

/** An upright that hides a strip of the disc, at an offset across the line of sight, metres. */
export const uprightBefore =
  (offsetM: number, widthM: number, zM: number, colour: string) =>
  (spec: SceneSpec): ExtraSpec[] => [
    {
      kind: 'upright',
      xM: sightAt(spec, momentOf(spec, 'drive', 0.5), zM).xM + offsetM,
      zM,
      widthM,
      topM: 2.35,
      colour,
    },
  ];

/** Whether the camera is far enough for somebody to be between it and the bar's end. */
const hasRoom = (s: OrdinaryScene): boolean => s.camera.distanceM * Math.cos(s.camera.offSquareRad) > 2.3;

export const coverConditions: readonly Condition[] = [
  {
    name: 'upright before',
    group: 'cover',
    weight: 1.2,
    apply: (r, s) =>
      withExtras(
        s,
        uprightBefore(
          r.uniform(-0.22, 0.22),
          r.uniform(0.05, 0.09),
          r.uniform(0.45, 0.8),
          r.pick([s.gym.rackColour, '#1f2226', '#b8bcc2', '#6e2429']),
        ),
      ),
  },
  {
    name: 'limb before',
    group: 'cover',
    weight: 1,
    fits: hasRoom,
    apply(r, s) {
      const look = drawLook(r);
      const part = r.pick(['arm', 'leg'] as const);
      const stage = r.pick(['descent', 'drive'] as const);
      const share = r.uniform(0.1, 0.9);
      const durationS = r.uniform(0.8, 1.4);
      const side = r.pick([-1, 1] as const);
      return withExtras(s, (spec) => {
        const atS = momentOf(spec, stage, share);
        // Near enough to the camera that the shoulder or the hip is below the picture.
        const { focalPx, zM: cameraZ } = spec.camera;
        const fromCameraM = Math.min(0.45 * cameraZ, (0.75 * focalPx) / spec.film.heightPx);
        const zM = cameraZ - fromCameraM;
        const at = sightAt(spec, atS, zM);
        const reachM = (part === 'arm' ? 0.26 : 0.38) * look.heightM;
        return [
          {
            kind: 'limb',
            part,
            xM: at.xM - side * 0.3 * reachM,
            yM: at.yM - reachM,
            zM,
            restRad: side * 2.6,
            swungRad: side * 0.25,
            fromS: atS - durationS / 2,
            durationS,
            look,
          },
        ];
      });
    },
  },
  {
    name: 'spotter',
    group: 'cover',
    weight: 1.2,
    fits: (s) => s.lift !== 'deadlift' && hasRoom(s),
    apply(r, s) {
      const look = drawLook(r);
      const looks = r.pick([-1, 1] as const);
      const zM = r.uniform(0.48, 0.62);
      const besideM = r.uniform(0.42, 0.6);
      const share = r.uniform(0.1, 0.6);
      const durationS = r.uniform(0.3, 1.2);
      const [alongM, underM] = [r.uniform(-0.1, 0.12), r.uniform(-0.2, 0.05)];
      return withExtras(s, (spec) => {
        const fromS = momentOf(spec, 'drive', share);
        const at = sightAt(spec, fromS, zM);
        return [
          {
            kind: 'spotter',
            xM: at.xM - looks * besideM,
            zM,
            looks,
            handXM: at.xM + looks * alongM,
            handYM: at.yM + underM,
            fromS,
            durationS,
            look,
          },
        ];
      });
    },
  },
  {
    name: 'passer-by before',
    group: 'cover',
    weight: 1.2,
    fits: hasRoom,
    apply(r, s) {
      const look = drawLook(r);
      const stage = r.pick(['descent', 'drive'] as const);
      const share = r.uniform(0, 1);
      const speedMps = r.pick([-1, 1] as const) * r.uniform(1, 1.6);
      const carries = r.uniform(0, 1) < 0.35 ? ('box' as const) : null;
      const nearness = r.uniform(0.3, 0.5);
      return withExtras(s, (spec) => {
        const atS = momentOf(spec, stage, share);
        const zM = Math.max(0.75, nearness * spec.camera.zM);
        const { xM } = sightAt(spec, atS, zM);
        return [{ kind: 'walker', xM, atS, zM, speedMps, carries, look }];
      });
    },
  },
  {
    name: 'passer-by behind',
    group: 'around',
    weight: 0.8,
    fits: (s) => s.gym.wallBehindM > 2.7,
    apply(r, s) {
      const look = drawLook(r);
      const speedMps = r.pick([-1, 1] as const) * r.uniform(0.9, 1.5);
      const share = r.uniform(0, 1);
      const k = r.uniform(0.2, 0.8);
      return withExtras(s, (spec) => {
        const atS = momentOf(spec, 'drive', share);
        const zM = -1.9 - k * (spec.gym.wallBehindM - 2.7);
        return [{ kind: 'walker', xM: 0, atS, zM, speedMps, carries: null, look }];
      });
    },
  },
];
