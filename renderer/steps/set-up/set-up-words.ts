import type { ClipOptions } from '../../../shared-lib/contract/review.ts';
import type { Followed } from '../../state/followed.ts';

/** What a side's picture is there for: to look, to point at a disc or a sleeve's end, to draw a rim, or to mark what is upright. */
export type Mode = 'look' | 'point' | 'sleeve' | 'rim' | 'up';

export function discWords(confirmed: boolean, options: ClipOptions, mode: Mode): string {
  if (mode === 'point')
    return 'Click the middle of the right disc: the largest one at the near end of the bar.';
  if (mode === 'rim')
    return 'Drag the handles onto the disc’s outer edge; arrow keys move one by half a pixel, with Shift by five.';
  if (!confirmed) return 'Does the ring lie on the outer edge of the largest disc at the near end?';
  return options.rim ? 'Confirmed, its rim drawn by hand.' : 'Confirmed: the ring lies on its outer edge.';
}

export function upWords({ plumb, rollRad, rollSigmaRad }: Followed['calibration']): string {
  const degrees = Math.abs((rollRad * 180) / Math.PI).toFixed(1);
  const lean = degrees === '0.0' ? 'upright' : `leaning ${degrees}° to the ${rollRad > 0 ? 'right' : 'left'}`;
  const sure = `± ${((1.96 * rollSigmaRad * 180) / Math.PI).toFixed(1)}°`;
  if (plumb === 'user') return `By your line: ${lean}, ${sure}.`;
  if (plumb === 'proposed') return `By upright edges in the background: ${lean}, ${sure}.`;
  return `As the picture stands, ${sure}: no upright was found in it.`;
}

export function scaleWords({ metresPerPx, rimScaleSigma, offSquareRad }: Followed['calibration']): string {
  const percent = (196 * rimScaleSigma).toFixed(1);
  const degrees = ((offSquareRad * 180) / Math.PI).toFixed(0);
  return `One pixel is ${(1000 * metresPerPx).toFixed(3)} mm at the bar, give or take ${percent} % from the rim; filmed ${degrees}° off square.`;
}
