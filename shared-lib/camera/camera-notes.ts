import type { Calibration } from '../contract/clip.ts';
import type { Trace } from '../contract/trace.ts';

/** With less background than this share of the clip a camera that moves may go unnoticed (common practice). */
const leastBackground = 0.8;
const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** What a coach should know of how the camera's place, motion and lens were taken out, as sentences. */
export function cameraNotes(
  trace: Pick<Trace, 'backgroundShare' | 'lens'>,
  { plumb, rollRad, sleeveEnd }: Pick<Calibration, 'plumb' | 'rollRad' | 'sleeveEnd'>,
): string[] {
  const notes: string[] = [];
  const { backgroundShare = 1, lens } = trace;
  if (backgroundShare < leastBackground)
    notes.push(
      `In ${percent(1 - backgroundShare)} of the clip too little background was seen to tell whether the camera moved; where it did, the bar seems to move with it.`,
    );
  if (sleeveEnd) {
    const { proudM, cameraM, factor, factorSigma } = sleeveEnd;
    notes.push(
      `The end of the sleeve was followed, not the disc. It is nearer to the camera, so its way was made smaller by ${(100 * (1 - factor)).toFixed(1)} % ± ${(196 * factorSigma).toFixed(1)} %: it stands out by ${Math.round(100 * proudM)} cm, ${cameraM.toFixed(1)} m from the camera.`,
    );
  }
  if (plumb === 'proposed') {
    const lean = Math.abs((rollRad * 180) / Math.PI);
    const found =
      lean < 0.05
        ? 'the picture stands upright'
        : `the picture leans by ${lean.toFixed(1)} degrees, which was taken out`;
    notes.push(
      `Up is taken from upright edges behind the lifter: ${found}. Racks lean too; mark an upright that you trust to know better.`,
    );
  }
  if (lens)
    notes.push(
      `The lens bends straight lines, by ${percent(Math.abs(lens.kappa))} of the way at the side of the picture, as uprights in the background show; this was taken out.`,
    );
  return notes;
}
