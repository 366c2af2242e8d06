import { describe, expect, it } from 'vitest';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { registerPatch, takePatch } from '../../../shared-lib/picture/patch-registration.ts';
import { addBlobs, expose, scatterBlobs } from './blobs.ts';

const size = 160;
const at = 80;

function picture(motion = stillCamera, exposure = { gain: 0.6, bias: 50, noise: 0 }, seed = 3) {
  const plane = new Float64Array(size * size).fill(128);
  addBlobs(plane, size, size, scatterBlobs(250, size, size, 20, seededRandom(11)), motion);
  return expose(plane, size, size, { ...exposure, random: seededRandom(seed) });
}

describe('registerPatch', () => {
  it('finds sub-pixel shifts at every reduction', () => {
    for (const factor of [1, 2, 4]) {
      const patch = takePatch(picture(), factor, at, at)!;
      const errors: number[] = [];
      for (let k = 0; k < 12; k++) {
        const dx = factor * (-1.5 + 0.27 * k);
        const dy = factor * (1.1 - 0.19 * k);
        const found = registerPatch(patch, picture({ ...stillCamera, txPx: -dx, tyPx: -dy }), at, at)!;
        errors.push(Math.hypot(found.xPx - patch.xPx - dx, found.yPx - patch.yPx - dy));
      }
      expect(Math.max(...errors)).toBeLessThan(0.05 * factor);
    }
  });

  it('does not mind a change of gain and bias', () => {
    const patch = takePatch(picture(), 1, at, at)!;
    const shifted = { ...stillCamera, txPx: -0.6, tyPx: 0.3 };
    const plain = registerPatch(patch, picture(shifted), at, at)!;
    const darker = registerPatch(patch, picture(shifted, { gain: 0.35, bias: 40, noise: 0 }), at, at)!;
    // What is left is the rounding to whole grey levels, which the stated noise covers.
    const noise = Math.hypot(darker.sigmaPx, plain.sigmaPx);
    expect(noise).toBeLessThan(0.03);
    expect(Math.hypot(darker.xPx - plain.xPx, darker.yPx - plain.yPx)).toBeLessThan(3 * noise);
    expect(darker.correlation).toBeGreaterThan(0.995);
  });

  it('allows for a known turn and growth of the picture', () => {
    const motion = { scale: 1 / 1.03, rotationRad: -0.04, txPx: 0, tyPx: 0 };
    // About the patch: the blob under its centre stays there.
    const c = Math.cos(motion.rotationRad) * motion.scale;
    const n = Math.sin(motion.rotationRad) * motion.scale;
    const about = { ...motion, txPx: at - (c * at - n * at), tyPx: at - (n * at + c * at) };
    const patch = takePatch(picture(), 1, at, at)!;
    const ignored = registerPatch(patch, picture(about), at, at)!;
    const allowed = registerPatch(patch, picture(about), at, at, 0.04, 0.03)!;
    const off = (r: { xPx: number; yPx: number }) => Math.hypot(r.xPx - at, r.yPx - at);
    expect(off(allowed)).toBeLessThan(0.02);
    expect(off(ignored)).toBeGreaterThan(3 * off(allowed));
  });

  it('states the scatter that grey noise really causes', () => {
    const clean = takePatch(picture(), 1, at, at)!;
    const xs: number[] = [];
    let stated = 0;
    for (let k = 0; k < 200; k++) {
      const found = registerPatch(
        clean,
        picture(stillCamera, { gain: 0.6, bias: 50, noise: 4 }, 100 + k),
        at,
        at,
      )!;
      xs.push(found.xPx - at, found.yPx - at);
      stated += found.sigmaPx / 200;
    }
    const rms = Math.sqrt(xs.reduce((s, x) => s + x * x, 0) / xs.length);
    expect(rms / stated).toBeGreaterThan(0.85);
    expect(rms / stated).toBeLessThan(1.15);
  });

  it('gives nothing outside the picture or without texture', () => {
    const patch = takePatch(picture(), 1, at, at)!;
    expect(takePatch(picture(), 1, 2, 2)).toBeNull();
    expect(registerPatch(patch, picture(), -60, at)).toBeNull();
    const flat = { width: size, height: size, data: new Uint8Array(size * size).fill(90) };
    expect(takePatch(flat, 1, at, at)).toBeNull();
    expect(registerPatch(patch, flat, at, at)).toBeNull();
  });
});
