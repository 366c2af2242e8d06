import type { RepFileEntry } from '../../shared-lib/contract/files.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { MeasuredSide } from '../../shared-lib/contract/line-up.ts';
import type { RepEvents } from '../../shared-lib/contract/rep.ts';
import type { MovableEvent } from '../../shared-lib/contract/review.ts';
import { hiddenMeasures, hiddenSpans, isHidden, withoutHidden } from '../../shared-lib/rep/hidden.ts';
import { measureRep } from '../../shared-lib/rep/measures.ts';
import { repEntry } from './clip-outputs.ts';
import type { RepsOfClip } from './clip-reps.ts';
import { pageRep } from './page-rep.ts';
import { shownPath } from './shown.ts';

/** Reps, events and measures of one clip, for Follow. */
export function measuredSideOf(clip: RepsOfClip): MeasuredSide {
  const { smoothed, reps, measured, clipFile } = clip;
  const { lift } = measured;
  const spans = hiddenSpans(measured.plane);
  return {
    check: clipFile.check,
    notes: clipFile.notes,
    reps: reps.map((rep, index) => {
      const values = withoutHidden(
        measureRep(smoothed.motion, rep.events, lift, smoothed.restNoise),
        hiddenMeasures(spans, rep.events, rep.window),
      );
      const entry = repEntry(rep, index, {} as RepFileEntry['measures']);
      const { path, phases } = pageRep({ clip, entry, index, loadKg: null });
      const { fromS, toS } = rep.window;
      const now = movableOf(lift, rep.events);
      const found = movableOf(lift, rep.foundEvents ?? rep.events);
      return {
        window: { fromS, toS },
        path: shownPath(path),
        phases: [...phases],
        events: now.map(({ event, tS }) => ({
          event,
          tS,
          foundS: found.find((each) => each.event === event)?.tS ?? tS,
          byHand: rep.byHand?.[event] !== undefined,
          hidden: isHidden(spans, tS),
        })),
        outcome: rep.events.outcome,
        values,
      };
    }),
  };
}

/** Events that a person may move, in time order. */
function movableOf(lift: Lift, events: RepEvents): { event: MovableEvent; tS: number }[] {
  const all: [MovableEvent, number | null][] =
    lift === 'deadlift'
      ? [['lift-off', events.driveStartS]]
      : [
          ['start', events.startS],
          ['touch', events.touchS],
          ['bottom', events.bottomS],
          ['drive start', events.driveStartS],
        ];
  all.push(['lockout', events.lockoutS]);
  return all.flatMap(([event, tS]) => (tS === null ? [] : [{ event, tS }]));
}
