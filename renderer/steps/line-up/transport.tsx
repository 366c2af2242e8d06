import { Radio, RadioGroup } from 'react-aria-components';
import type { ViewControl } from '../../panes/use-view.ts';
import { wholeView } from '../../panes/view.ts';
import { look } from '../../state/store.ts';
import type { RunBy } from './timeline.ts';
import { speeds, type Playback } from './use-playback.ts';

const runWords: Record<RunBy, string> = { clock: 'clock', phase: 'phase', height: 'height' };
const speedWords = (speed: number): string => (speed === 1 ? 'full' : `1/${Math.round(1 / speed)}`);

/** Runs both reps together, by what, and how fast. */
export function Transport({
  runBy,
  playback,
  viewing: { view, nearer, farther, whole },
  onRepeat,
}: {
  runBy: RunBy;
  playback: Playback;
  viewing: ViewControl;
  onRepeat: () => void;
}) {
  return (
    <div className="transport">
      <button className="button first" onClick={playback.toggle}>
        {playback.running ? 'Hold' : 'Run both'}
      </button>
      <button className="button" aria-pressed={playback.repeating !== null} onClick={onRepeat}>
        {playback.repeating ? 'Stop repeating' : 'Repeat phase'}
      </button>
      <RadioGroup
        className="inline"
        aria-label="Run together by"
        value={runBy}
        onChange={(value) => look((review) => void (review.place.runBy = value as RunBy))}
      >
        <span className="small muted">by</span>
        {(Object.keys(runWords) as RunBy[]).map((each) => (
          <Radio key={each} value={each} className="choice small">
            {runWords[each]}
          </Radio>
        ))}
      </RadioGroup>
      <RadioGroup
        className="inline"
        aria-label="Speed"
        value={String(playback.speed)}
        onChange={(value) => playback.setSpeed(Number(value))}
      >
        <span className="small muted">at</span>
        {speeds.map((each) => (
          <Radio key={each} value={String(each)} className="choice small">
            {speedWords(each)}
          </Radio>
        ))}
        <span className="small muted">speed</span>
      </RadioGroup>
      <div className="inline" role="group" aria-label="How near the pictures are">
        <button className="button bare" onClick={farther} disabled={view === wholeView}>
          <span aria-hidden>−</span>
          <span className="unseen">Farther</span>
        </button>
        <button className="button bare" onClick={nearer}>
          <span aria-hidden>+</span>
          <span className="unseen">Nearer</span>
        </button>
        {view !== wholeView && (
          <button className="button bare small" onClick={whole}>
            Whole pictures
          </button>
        )}
      </div>
    </div>
  );
}
