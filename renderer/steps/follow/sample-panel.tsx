import type { FixedPoint, SideName } from '../../../shared-lib/contract/review.ts';
import type { Followed } from '../../state/followed.ts';
import { change } from '../../state/store.ts';
import { isLeftOut, type Doubt } from './doubtful.ts';

/** What is known of the sample shown, steps from it, and the points fixed by hand. */
export function SamplePanel({
  followed: { track },
  name,
  frame,
  fixed,
  doubts,
  isBehind,
  onGo,
  onJump,
  onRemove,
}: {
  followed: Followed;
  name: SideName;
  frame: number;
  fixed: readonly FixedPoint[];
  doubts: readonly Doubt[];
  isBehind: boolean;
  onGo: (frame: number) => void;
  onJump: (step: 1 | -1) => void;
  onRemove: (frame: number) => void;
}) {
  const percentOf = (count: number): number => Math.round((100 * count) / track.state.length);
  const share = (state: string): number =>
    percentOf(track.state.filter((each, i) => each === state && !isLeftOut(track, i)).length);
  const leftOut = percentOf(track.leftOut.reduce((sum, { from, to }) => sum + to - from, 0));
  const isFixed = fixed.some((each) => each.frame === frame);
  const [x, y] = [track.xPx[frame], track.yPx[frame]];
  const state = isFixed
    ? 'fixed by hand'
    : track.state[frame] === 'seen'
      ? `seen, confidence ${Math.round(100 * track.confidence[frame])} %`
      : isLeftOut(track, frame)
        ? 'not looked at'
        : track.state[frame];
  return (
    <div className="sample-panel">
      <div className="set-up-buttons">
        <button className="button" onClick={() => onGo(frame - 1)} disabled={frame === 0}>
          ‹ Picture
        </button>
        <button className="button" onClick={() => onGo(frame + 1)} disabled={frame === track.tS.length - 1}>
          Picture ›
        </button>
        <button className="button" onClick={() => onJump(1)} disabled={doubts.length === 0}>
          {doubts.length === 0
            ? 'No doubtful stretch'
            : `Next of ${doubts.length} doubtful stretch${doubts.length === 1 ? '' : 'es'}`}
        </button>
      </div>
      <p className="small figures" role="status" data-x={x} data-y={y}>
        Frame {frame}, {track.tS[frame].toFixed(2)} s: {state}.{' '}
        <span className="muted">
          {isBehind
            ? 'Following again from the fixed points…'
            : `In the whole clip ${share('seen')} % seen, ${share('bridged')} % bridged, ${share('lost')} % lost.`}
        </span>
      </p>
      {leftOut > 0 && (
        <p className="small">
          {leftOut} % of the clip was not looked at: nothing in the picture moves there.{' '}
          <button
            className="button bare"
            onClick={() => change('Follow all of it', (review) => void (review[name]!.options.whole = true))}
          >
            Follow all of it
          </button>
        </p>
      )}
      <p className="small muted">
        Drag the bar’s point where it is wrong, or move it by the arrow keys: it is followed again from there
        until it joins the rest.
      </p>
      {fixed.length > 0 && (
        <ul className="fixes" aria-label="Points fixed by hand">
          {fixed.map((each) => (
            <li key={each.frame}>
              <button className="button bare" onClick={() => onGo(each.frame)}>
                Frame {each.frame}
              </button>
              <button
                className="button bare change-it"
                aria-label={`Remove the fixed point in frame ${each.frame}`}
                onClick={() => onRemove(each.frame)}
              >
                Remove
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
