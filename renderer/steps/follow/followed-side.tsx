import { useEffect, useMemo, useRef, useState } from 'react';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../../shared-lib/motion/frame-times.ts';
import { applySimilarity, invertSimilarity } from '../../../shared-lib/picture/similarity.ts';
import { ClipFigure, type PointPx } from '../../parts/clip-figure.tsx';
import { Handle } from '../../parts/handle.tsx';
import { useDraft } from '../../parts/use-draft.ts';
import { offer } from '../../state/actions.ts';
import { useMeasured, type Followed } from '../../state/followed.ts';
import { bridge, change, useDesk } from '../../state/store.ts';
import { ConfidenceStrip } from './confidence-strip.tsx';
import { doubtsOf, nextDoubt } from './doubtful.ts';
import { HeightChart } from './height-chart.tsx';
import { RepPanel } from './rep-panel.tsx';
import { SamplePanel } from './sample-panel.tsx';

/** A clip that was followed: its picture with the way, the strip of samples, the reps with their events and measures. */
export function FollowedSide({
  followed,
  isBehind,
  name,
}: {
  followed: Followed;
  isBehind: boolean;
  name: SideName;
}) {
  const { media, track } = followed;
  const side = useDesk((desk) => desk.review!.now[name]!);
  const { fixed } = side.options;
  const measured = useMeasured(name, true);
  const rep = Math.min(side.rep ?? 1, measured?.reps.length ?? 1);
  const shownRep = measured?.reps[rep - 1] ?? null;
  const [frame, setFrame] = useState(0);
  const [magnified, setMagnified] = useState(false);
  const last = track.tS.length - 1;
  const doubts = useMemo(() => doubtsOf(track), [track]);
  const go = (to: number): void => setFrame(Math.min(Math.max(to, 0), last));

  const here = { xPx: track.xPx[frame], yPx: track.yPx[frame] };
  const point: PointPx | null =
    here.xPx === null || here.yPx === null ? null : { xPx: here.xPx, yPx: here.yPx };
  const own = fixed.find((each) => each.frame === frame) ?? null;
  const draft = useDraft<PointPx | null>(own ?? point, (next) => next && fix(name, frame, next));
  const middle = { xPx: media.widthPx / 2, yPx: media.heightPx / 2 };
  const shown = draft.shown ?? nearest(track, frame) ?? middle;

  const keys = useRef({ go, frame, doubts });
  useEffect(() => {
    keys.current = { go, frame, doubts };
  });
  useEffect(
    () =>
      offer([
        { label: 'One picture back', keys: ['ArrowLeft'], step: 'Follow', perform: () => keys.current.go(keys.current.frame - 1) }, // prettier-ignore
        { label: 'One picture on', keys: ['ArrowRight'], step: 'Follow', perform: () => keys.current.go(keys.current.frame + 1) }, // prettier-ignore
        { label: 'Next doubtful stretch', keys: ['n'], step: 'Follow', perform: () => jump(1) },
        { label: 'Doubtful stretch before', keys: ['b'], step: 'Follow', perform: () => jump(-1) },
      ]),
    [],
  );
  function jump(step: 1 | -1): void {
    const to = nextDoubt(keys.current.doubts, keys.current.frame, step);
    if (to) keys.current.go(to.from);
  }
  useEffect(() => {
    const frames = Array.from({ length: 24 }, (_, k) => Math.min(frame + k, last));
    void bridge
      .call('prepareStills', { sha256: media.sha256, widthPx: Math.min(media.widthPx, 960), frames })
      .catch(() => undefined);
  }, [media, frame, last]);

  const way = useMemo(() => wayAt(followed, frame), [followed, frame]);
  return (
    <div className="followed">
      <div className="picture-side">
        <ClipFigure
          media={media}
          frame={frame}
          alt={`Frame ${frame}: the bar is ${own ? 'fixed by hand' : track.state[frame]}`}
          loupe={magnified ? shown : null}
          draw={(unit, isLoupe) => (
            <>
              <polyline className="ring casing" points={way} />
              <polyline className={`ring ${name}`} points={way} />
              {!isLoupe &&
                fixed.map(({ frame: at, xPx, yPx }) => (
                  <rect
                    key={at}
                    className="fixed-point"
                    x={xPx - 5 * unit}
                    y={yPx - 5 * unit}
                    width={10 * unit}
                    height={10 * unit}
                  />
                ))}
              {!isLoupe && (
                <Handle
                  label={`Bar in frame ${frame}`}
                  at={shown}
                  unit={unit}
                  media={media}
                  onMove={draft.move}
                  onDone={draft.done}
                  onLook={setMagnified}
                />
              )}
            </>
          )}
        />
        <ConfidenceStrip track={track} name={name} frame={frame} fixed={fixed} onPick={go} />
        <SamplePanel
          followed={followed}
          name={name}
          frame={frame}
          fixed={fixed}
          doubts={doubts}
          isBehind={isBehind}
          onGo={go}
          onJump={jump}
          onRemove={(at) => unfix(name, at)}
        />
        {shownRep && (
          <HeightChart
            key={rep}
            rep={shownRep}
            number={rep}
            name={name}
            slowMotion={followed.calibration.slowMotion}
            atS={track.tS[frame]}
            onPick={(tS) => go(nearestFrame(track.tS, tS))}
          />
        )}
      </div>
      <RepPanel measured={measured} rep={rep} name={name} onGo={(tS) => go(nearestFrame(track.tS, tS))} />
    </div>
  );
}

function fix(name: SideName, frame: number, { xPx, yPx }: PointPx): void {
  change('Fix a point by hand', (review) => {
    const { options } = review[name]!;
    options.fixed = [...options.fixed.filter((each) => each.frame !== frame), { frame, xPx, yPx }].sort(
      (a, b) => a.frame - b.frame,
    );
  });
}

function unfix(name: SideName, frame: number): void {
  change('Remove a fixed point', (review) => {
    const { options } = review[name]!;
    options.fixed = options.fixed.filter((each) => each.frame !== frame);
  });
}

/** The way up to a frame as that frame's picture shows it: the camera may have stood elsewhere before. */
function wayAt({ track }: Followed, frame: number): string {
  const back = track.camera.length > 0 ? invertSimilarity(track.camera[frame]) : null;
  return track.xPx
    .slice(0, frame + 1)
    .flatMap((x, i) => {
      const y = track.yPx[i];
      if (x === null || y === null) return [];
      const [xNow, yNow] = back
        ? applySimilarity(back, ...applySimilarity(track.camera[i], x, y))
        : ([x, y] as const);
      return [`${xNow.toFixed(1)},${yNow.toFixed(1)}`];
    })
    .join(' ');
}

/** Where the bar was last before a frame in which it is lost. */
function nearest({ xPx, yPx }: Followed['track'], frame: number): PointPx | null {
  for (let k = 0; k < xPx.length; k++) {
    for (const i of [frame - k, frame + k]) {
      const [x, y] = [xPx[i] ?? null, yPx[i] ?? null];
      if (x !== null && y !== null) return { xPx: x, yPx: y };
    }
  }
  return null;
}
