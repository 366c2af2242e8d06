import type { Calibration } from '../contract/clip.ts';
import type { Trace } from '../contract/trace.ts';

/** With less background than this share of the clip a camera that moves may go unnoticed (common practice). */
const leastBackground = 0.8;
const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** What a coach should know of how the camera's place, motion and lens were taken out, as sentences. */
export function cameraNotes(
  trace: Pick<Trace, 'backgroundShare' | 'lens'>,
  { plumb, rollRad }: Pick<Calibration, 'plumb' | 'rollRad'>,
): string[] {
  const notes: string[] = [];
  const { backgroundShare = 1, lens } = trace;
  if (backgroundShare < leastBackground)
    notes.push(
      `In ${percent(1 - backgroundShare)} of the clip too little background was seen to tell whether the camera moved; where it did, the bar seems to move with it.`,
    );
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
