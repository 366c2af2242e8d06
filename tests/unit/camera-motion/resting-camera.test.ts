import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { settleCameraMotion } from '../../../shared-lib/trace/camera-motion-settle.ts';
import { noUncertainty } from '../../../shared-lib/trace/camera-motion-uncertainty.ts';
import type { CameraEstimate } from '../../../shared-lib/trace/camera-estimate.ts';
import { RestingCamera } from '../../../shared-lib/trace/resting-camera.ts';

const size = { widthPx: 1920, heightPx: 1080 };
const image = { width: 1, height: 1, data: new Uint8Array(1) };
const sigmaPx = 0.03;
const frames = 300;

/** Looks at pictures of a camera whose motion is known, with noise. */
function watched(motionAt: (frame: number) => Partial<CameraEstimate>, fps = 60) {
  const random = seededRandom(1);
  const truth = Array.from({ length: frames }, (_, i): CameraEstimate => {
    const { motion = stillCamera, inlierShare = 0.9 } = motionAt(i);
    const noisy = {
      ...motion,
      txPx: motion.txPx + sigmaPx * random.normal(),
      tyPx: motion.tyPx + sigmaPx * random.normal(),
    };
    return {
      motion: noisy,
      inlierShare,
      uncertainty: { ...noUncertainty, shiftVarPx2: sigmaPx ** 2 },
    };
  });
  let frame = 0;
  const looks: number[] = [];
  const update = (): CameraEstimate => {
    looks.push(frame);
    return truth[frame];
  };
  const camera = new RestingCamera({ update, putRight: () => new Map() }, size);
  for (; frame < frames; frame++) camera.look(image, frame / fps, []);
  return { truth, looks, estimates: camera.estimates() };
}

const shiftedBy = (tyPx: number): Partial<CameraEstimate> => ({ motion: { ...stillCamera, tyPx } });

describe('a camera that rests', () => {
  it('is looked at every picture for a second, and then every fourth of 60 a second, and said to have stood still', () => {
    const { looks, estimates } = watched(() => ({}));
    expect(looks.filter((f) => f <= 60)).toHaveLength(61);
    expect(looks.filter((f) => f > 60).length).toBeLessThanOrEqual(Math.ceil((frames - 61) / 4));
    expect(estimates).toHaveLength(frames);
    expect(settleCameraMotion(estimates, size).moved).toBe(false);
  });

  it('does not move for one misjudged picture, whichever it is', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: frames - 1 }), (at) => {
        const { estimates } = watched((i) => (i === at ? shiftedBy(30) : {}));
        expect(settleCameraMotion(estimates, size).moved).toBe(false);
      }),
    );
  });

  it('is followed from when it is knocked or begins to sag, as if every picture had been looked at', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: frames - 20 }), fc.boolean(), (at, sags) => {
        const { truth, looks, estimates } = watched((i) =>
          i < at ? {} : shiftedBy(sags ? (i - at) * 0.02 + 0.2 : 2),
        );
        const { motions, moved } = settleCameraMotion(estimates, size);
        const every = settleCameraMotion(truth, size);
        expect(moved).toBe(every.moved);
        // What it did before it was seen to move is known to a few pictures; a knock takes as long.
        const off = motions.map(({ tyPx }, i) => Math.abs(tyPx - every.motions[i].tyPx));
        expect(Math.max(...off.filter((_, i) => i < at - 7 || i > at + 7))).toBeLessThan(6 * sigmaPx);
        const seen = looks.find((f) => f >= at + (sags ? 8 : 0))!;
        expect(looks.filter((f) => f > seen)).toHaveLength(frames - 1 - seen);
      }),
    );
  });

  it('that is held by a hand is looked at in every picture', () => {
    const { truth, estimates } = watched((i) => shiftedBy(Math.sin(i / 5)));
    expect(estimates).toEqual(truth);
  });

  it('is looked at in every picture while no background shows', () => {
    const { looks } = watched((i) => (i >= 150 && i < 200 ? { inlierShare: 0 } : {}));
    const first = looks.find((f) => f >= 150)!;
    expect(first).toBeLessThan(154);
    expect(looks.filter((f) => f >= first && f < 200)).toHaveLength(200 - first);
  });
});
