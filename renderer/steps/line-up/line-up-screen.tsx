import { useCallback, useEffect, useMemo, useState } from 'react';
import type { LineUp } from '../../../shared-lib/contract/line-up.ts';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { frameAt } from '../../../shared-lib/motion/frame-times.ts';
import { PathChart } from '../../charts/path-chart.tsx';
import { SaveChart } from '../../charts/save-chart.tsx';
import { PhaseStrip } from '../../charts/phase-strip.tsx';
import { roomForLetters, stripHeightPx } from '../../charts/room-for-letters.ts';
import { VelocityChart } from '../../charts/velocity-chart.tsx';
import { Pane } from '../../panes/pane.tsx';
import { sharedScale } from '../../panes/scale.ts';
import { useView } from '../../panes/use-view.ts';
import type { View } from '../../panes/view.ts';
import { useSize } from '../../parts/use-size.ts';
import { offer } from '../../state/actions.ts';
import { look, useDesk } from '../../state/store.ts';
import { BodyButton } from './body/body-dialog.tsx';
import { Changes } from './changes.tsx';
import { CoachPanel } from './coach/coach-panel.tsx';
import { noteSeen } from './coach/note-seen.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import { useCoaching, wishedKey } from '../../state/coaching.ts';
import { momentOfFrame, phaseAt, timelineOf, type RunBy } from './timeline.ts';
import { Transport } from './transport.tsx';
import { usePlayback } from './use-playback.ts';
import { RepChoice } from './rep-choice.tsx';
import './line-up.css';

const words = { reference: 'Reference', today: 'Today' } as const;

const noPath: [number, number][][] = [];

/** Two pictures, one chart between them on their scale, one playhead through everything, and what changed. */
export function LineUpScreen({ lineUp }: { lineUp: LineUp }) {
  const place = useDesk((desk) => desk.review!.now.place);
  const loads = useDesk((desk) => desk.review!.now);
  const timeline = useMemo(() => timelineOf(lineUp, place.runBy), [lineUp, place.runBy]);
  const [atS, setAtS] = useState(place.momentS);
  const moveTo = useCallback(
    (s: number) => {
      const next = Math.min(Math.max(s, 0), timeline.durationS);
      setAtS(next);
      look((review) => void (review.place.momentS = next));
    },
    [timeline],
  );
  const playback = usePlayback(timeline.durationS, atS, setAtS, moveTo);
  const goTo = useCallback(
    (side: SideName, tS: number) =>
      moveTo(side === 'reference' ? timeline.ofReference(tS) : timeline.ofToday(tS)),
    [moveTo, timeline],
  );
  const now = { reference: timeline.referenceS(atS), today: timeline.todayS(atS) };
  const frames = {
    reference: frameAt(lineUp.reference.track.tS, now.reference),
    today: frameAt(lineUp.today.track.tS, now.today),
  };
  const wished = useCoaching((coaching) => coaching.wished);
  const wishedPx = wished && wished.key === wishedKey(loads) ? wished.value.pathPx : null;
  const [stage, { widthPx, heightPx }] = useSize<HTMLDivElement>();
  const [lower, lowerSize] = useSize<HTMLDivElement>();
  const chartPx = Math.round(Math.min(320, Math.max(210, widthPx * 0.2)));
  const panePx = Math.floor((widthPx - chartPx - 16) / 2);
  const scaleAt = useCallback(
    (view: View) =>
      sharedScale([lineUp.reference, lineUp.today], Math.max(panePx, 1), Math.max(heightPx, 1), view),
    [lineUp, panePx, heightPx],
  );
  const viewing = useView(
    stage,
    useCallback((view: View) => scaleAt(view).pxPerM, [scaleAt]),
  );
  const { view, nearer, farther, whole, move } = viewing;
  const shared = useMemo(() => scaleAt(view), [scaleAt, view]);

  useEffect(() => {
    const step = (name: SideName, by: number) => () => {
      const { tS } = lineUp[name].track;
      const at = frameAt(tS, name === 'reference' ? timeline.referenceS(atS) : timeline.todayS(atS));
      const next = Math.min(Math.max(at + by, 0), tS.length - 1);
      moveTo(momentOfFrame(timeline, name, tS, next));
    };
    const run = (runBy: RunBy) => () => look((review) => void (review.place.runBy = runBy));
    const event = (by: 1 | -1) => () => {
      const moments = lineUp.pair.knots.map((k) => timeline.ofReference(k.referenceS));
      const next = by > 0 ? moments.find((m) => m > atS + 0.01) : moments.findLast((m) => m < atS - 0.01);
      if (next !== undefined) moveTo(next);
    };
    return offer([
      { label: 'Run or hold', keys: [' '], step: 'Line up', perform: playback.toggle },
      { label: 'One frame on', keys: ['ArrowRight'], step: 'Line up', perform: step('reference', 1) },
      { label: 'One frame back', keys: ['ArrowLeft'], step: 'Line up', perform: step('reference', -1) },
      {
        label: 'One frame of today’s on',
        keys: ['Shift+ArrowRight'],
        step: 'Line up',
        perform: step('today', 1),
      },
      {
        label: 'One frame of today’s back',
        keys: ['Shift+ArrowLeft'],
        step: 'Line up',
        perform: step('today', -1),
      },
      { label: 'Next event', keys: ['ArrowDown'], step: 'Line up', perform: event(1) },
      { label: 'Event before', keys: ['ArrowUp'], step: 'Line up', perform: event(-1) },
      { label: 'Run by the clock', keys: ['c'], step: 'Line up', perform: run('clock') },
      { label: 'Run by phase', keys: ['p'], step: 'Line up', perform: run('phase') },
      { label: 'Run by height', keys: ['h'], step: 'Line up', perform: run('height') },
      { label: 'Slower', keys: ['-'], step: 'Line up', perform: playback.slower },
      { label: 'Faster', keys: ['+', 'Shift++'], step: 'Line up', perform: playback.faster },
      {
        label: 'Repeat the phase shown, or stop repeating',
        keys: ['r'],
        step: 'Line up',
        perform: () => playback.repeat(phaseAt(lineUp, timeline, atS)),
      },
      { label: 'Nearer', keys: ['z'], step: 'Line up', perform: nearer },
      { label: 'Farther', keys: ['x'], step: 'Line up', perform: farther },
      { label: 'The whole pictures', keys: ['0'], step: 'Line up', perform: whole },
      { label: 'Look further left', keys: ['Ctrl+ArrowLeft'], step: 'Line up', perform: () => move(-1, 0) },
      { label: 'Look further right', keys: ['Ctrl+ArrowRight'], step: 'Line up', perform: () => move(1, 0) },
      { label: 'Look further up', keys: ['Ctrl+ArrowUp'], step: 'Line up', perform: () => move(0, 1) },
      { label: 'Look further down', keys: ['Ctrl+ArrowDown'], step: 'Line up', perform: () => move(0, -1) },
      ...texts.letter.oftenSeen[lineUp.pair.lift].map((words, i) => ({
        label: `Note: ${words}`,
        keys: [String(i + 1)],
        step: 'Line up' as const,
        perform: () => noteSeen(words, timeline.todayS(atS)),
      })),
    ]);
  }, [lineUp, timeline, atS, moveTo, playback, nearer, farther, whole, move]);

  const paneOf = (name: SideName) => (
    <figure className={`pane-box ${name}`}>
      <figcaption className="small">
        <span aria-hidden className={`sign ${name}`} />
        <strong>{words[name]}</strong>
        {loads[name]?.loadKg ? ` ${loads[name].loadKg} kg` : ''}
        <span className="muted"> {now[name].toFixed(2)} s</span>
        {lineUp[name].repCount > 1 && <RepChoice name={name} count={lineUp[name].repCount} />}
      </figcaption>
      {panePx > 0 && heightPx > 0 && (
        <Pane
          side={lineUp[name]}
          name={name}
          frame={frames[name]}
          shared={shared}
          widthPx={panePx}
          heightPx={heightPx}
          mirrored={name === 'today' && lineUp.mirrorToday}
          otherPathPx={lineUp.otherPathPx[name]}
          wishedPx={wishedPx?.[name] ?? noPath}
          label={`${words[name]}, frame ${frames[name]} at ${now[name].toFixed(2)} seconds, with the bar’s way so far`}
        />
      )}
    </figure>
  );

  return (
    <div className="line-up">
      <h1 className="unseen">Line up</h1>
      <div className="stage" ref={stage}>
        {paneOf('reference')}
        <div className="charted">
          <PathChart
            lineUp={lineUp}
            shared={shared}
            widthPx={chartPx}
            heightPx={Math.max(heightPx, 1)}
            atS={now}
            onGo={goTo}
          />
          <SaveChart title="Bar paths" />
        </div>
        {paneOf('today')}
      </div>
      <div className="under-stage">
        <Transport
          runBy={place.runBy}
          playback={playback}
          viewing={viewing}
          onRepeat={() => playback.repeat(phaseAt(lineUp, timeline, atS))}
        />
        <BodyButton lineUp={lineUp} />
      </div>
      <div className="lower">
        <div className="lower-charts" ref={lower}>
          {lowerSize.widthPx > 0 && (
            <>
              <div className="charted in-gutter">
                <PhaseStrip
                  lineUp={lineUp}
                  timeline={timeline}
                  atS={atS}
                  widthPx={lowerSize.widthPx}
                  onPick={moveTo}
                />
                <SaveChart title="Phases" isShort />
              </div>
              <div className="charted">
                <VelocityChart
                  lineUp={lineUp}
                  timeline={timeline}
                  runBy={place.runBy}
                  atS={atS}
                  widthPx={lowerSize.widthPx}
                  heightPx={Math.max(80, lowerSize.heightPx - stripHeightPx(roomForLetters()) - 8)}
                  onPick={moveTo}
                  onGo={goTo}
                />
                <SaveChart title="Velocity" />
              </div>
            </>
          )}
        </div>
        <CoachPanel
          lineUp={lineUp}
          todayS={now.today}
          onShow={(tS) => moveTo(timeline.ofToday(tS))}
          changes={<Changes lineUp={lineUp} onShow={(tS) => moveTo(timeline.ofReference(tS))} />}
        />
      </div>
    </div>
  );
}
