import { eventsOf, phasesOf } from '../../shared-lib/page/rep-drawing.ts';
import type { BarPath, PageRep } from '../../shared-lib/page/page-input.ts';
import { repPath } from '../../shared-lib/pair/line-up.ts';
import { hiddenSpans, isGuess } from '../../shared-lib/rep/hidden.ts';
import type { ChosenRep } from './compare-followed.ts';

/** Path points this close in time draw the same line, seconds. */
const pathStepS = 1 / 60;

/** A rep as the page draws it: its path thinned, its phases and events. */
export function pageRep({ clip, entry, index }: ChosenRep): PageRep {
  const { lift } = clip.measured;
  const { window, events } = clip.reps[index];
  const whole = repPath(clip.smoothed.motion, events, 'start')!;
  const every = Math.max(1, Math.round(pathStepS / clip.smoothed.motion.dtS));
  const kept = Array.from(whole.tS.keys()).filter(
    (i) => i % every === 0 && whole.tS[i] >= window.fromS && whole.tS[i] <= window.toS,
  );
  const column = (values: Float64Array): number[] => kept.map((i) => values[i]);
  // Where the disc was not seen the way across is a guess, and a speed from it says nothing.
  const hidden = hiddenSpans(clip.measured.plane);
  const barPath: BarPath = {
    tS: column(whole.tS),
    xM: column(whole.xM),
    yM: column(whole.yM),
    vyMps: kept.map((i) => (isGuess(hidden, whole.tS[i]) ? NaN : whole.vyMps[i])),
  };
  return {
    clip: clip.clipFile,
    rep: entry,
    path: barPath,
    phases: phasesOf(lift, entry, window),
    events: eventsOf(lift, entry, barPath),
  };
}
