import { settleByPose } from '../../shared-lib/camera/settle-by-pose.ts';
import type { CameraPose, Trace } from '../../shared-lib/contract/trace.ts';
import { steadied, viewOf } from '../../shared-lib/trace/disc-views.ts';
import type { DiscMeasurement } from '../../shared-lib/trace/follow-disc.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';

/** Share of the rays on which the outline must show, and where nothing was measured before: the disc may be elsewhere. */
const leastShown = 0.4;
const leastShownAnew = 0.7;
/** Of the frames measured before, this share must settle, or the pose is not to be trusted. */
const leastSettled = 0.8;

/**
 * Measures the disc again in every picture, now that the camera's pose is known: the near face's centre itself, where
 * following gave the middle of an outline that takes in more or less of the disc's side. Decodes the clip once more.
 *
 * @param measurements one per frame, as followed
 * @param trace the same, assembled
 * @returns the measurements with their places settled, or null where the pictures do not agree with the pose
 */
export async function settleClip(
  file: string,
  decoding: DecodeOptions,
  measurements: readonly DiscMeasurement[],
  trace: Trace,
  pose: CameraPose,
  onProgress: (share: number) => void,
): Promise<DiscMeasurement[] | null> {
  const picture = { widthPx: decoding.width, heightPx: decoding.height };
  const repeats = new Set(trace.repeated);
  const settled: DiscMeasurement[] = [];
  let kept = 0;
  for await (const { image } of decodeFrames(file, decoding)) {
    const i = settled.length;
    if (i >= measurements.length) break;
    const measured = measurements[i];
    if (repeats.has(i) && i > 0) {
      // It shows the picture before it, and is found again by standing still.
      settled.push({ ...settled[i - 1], tS: measured.tS });
      continue;
    }
    const place = settledAt(i, image);
    if (place) kept += measured.confidence > 0 ? 1 : 0;
    settled.push(place ?? { ...measured, xPx: NaN, yPx: NaN, confidence: 0 });
    if (i % 10 === 0) onProgress(i / measurements.length);
  }
  const before = measurements.filter((m, i) => m.confidence > 0 && !repeats.has(i)).length;
  return settled.length === measurements.length && kept >= leastSettled * before ? settled : null;

  function settledAt(i: number, image: Parameters<typeof viewOf>[0]): DiscMeasurement | null {
    const measured = measurements[i];
    const sample = trace.samples[i];
    if (!Number.isFinite(sample.xPx)) return null;
    const isMeasured = measured.confidence > 0;
    const at = isMeasured ? measured : sample;
    const ring = { ...trace.rim, xPx: at.xPx, yPx: at.yPx };
    const [view] = steadied([viewOf(image, ring, i)], trace, 1);
    const { x, y } = movedPx(trace, i);
    const found = settleByPose(view, pose, { picture, bow: trace.lens, smearXPx: x, smearYPx: y });
    if (!found || found.shown < (isMeasured ? leastShown : leastShownAnew)) return null;
    return {
      ...measured,
      xPx: at.xPx + found.dxPx,
      yPx: at.yPx + found.dyPx,
      varXPx2: found.varXPx2,
      varYPx2: found.varYPx2,
      covXYPx2: found.covXYPx2,
      confidence: isMeasured ? measured.confidence : found.shown,
    };
  }
}

/** How far the disc moves from a frame to the next, pixels. */
function movedPx({ samples }: Trace, i: number): { x: number; y: number } {
  const [a, b] = [samples[Math.max(0, i - 1)], samples[Math.min(samples.length - 1, i + 1)]];
  const x = (b.xPx - a.xPx) / 2;
  const y = (b.yPx - a.yPx) / 2;
  return Number.isFinite(x + y) ? { x, y } : { x: 0, y: 0 };
}
