import type { Calibration } from '../contract/clip.ts';
import type { Trace } from '../contract/trace.ts';
import { texts } from '../texts/texts.ts';

const words = texts.clip;

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
  if (backgroundShare < leastBackground) notes.push(words.littleBackground(percent(1 - backgroundShare)));
  if (sleeveEnd) {
    const { proudM, cameraM, factor, factorSigma } = sleeveEnd;
    notes.push(
      words.sleeveEnd(
        `${(100 * (1 - factor)).toFixed(1)} %`,
        `${(196 * factorSigma).toFixed(1)} %`,
        `${Math.round(100 * proudM)} cm`,
        `${cameraM.toFixed(1)} m`,
      ),
    );
  }
  if (plumb === 'proposed') {
    const lean = Math.abs((rollRad * 180) / Math.PI);
    notes.push(words.uprights(lean < 0.05 ? words.standsUpright : words.leans(lean.toFixed(1))));
  }
  if (lens) notes.push(words.lensBends(percent(Math.abs(lens.kappa))));
  return notes;
}
