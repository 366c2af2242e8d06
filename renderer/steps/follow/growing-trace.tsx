import { useEffect, useState } from 'react';
import type { OutputOf, TracedPoints } from '../../../shared-lib/contract/desk.ts';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { ClipFigure } from '../../parts/clip-figure.tsx';
import { bridge, useDesk } from '../../state/store.ts';

/** A clip while the bar in it is followed: the way so far over its first picture. */
export function GrowingTrace({
  sha256,
  clip,
  name,
  points,
}: {
  sha256: string;
  clip: string;
  name: SideName;
  points: TracedPoints | null;
}) {
  const [looked, setLooked] = useState<OutputOf<'lookAtClip'> | null>(null);
  const job = useDesk((desk) => desk.job);
  useEffect(() => {
    let stay = true;
    // Whatever is wrong with the clip, following it says so.
    bridge.call('lookAtClip', { sha256 }).then(
      (found) => stay && setLooked(found),
      () => undefined,
    );
    return () => void (stay = false);
  }, [sha256]);
  const way = points?.xPx.map((x, i) => `${x},${points.yPx[i]}`).join(' ') ?? '';
  const last = points && points.xPx.length > 0 ? points.xPx.length - 1 : null;
  return (
    <section className="side-set-up" aria-label={`Following the bar in ${clip}`}>
      {looked && (
        <ClipFigure
          media={looked.media}
          frame={0}
          alt={`The first picture of ${clip}, the bar’s way growing over it`}
          loupe={null}
          draw={(unit) => (
            <>
              <polyline className="ring casing" points={way} />
              <polyline
                className={`ring ${name} growing`}
                points={way}
                data-points={points?.xPx.length ?? 0}
              />
              {last !== null && (
                <circle
                  className={`middle ${name}`}
                  cx={points!.xPx[last]}
                  cy={points!.yPx[last]}
                  r={6 * unit}
                />
              )}
            </>
          )}
        />
      )}
      <p role="status">
        {points && last !== null
          ? `Followed up to ${points.ptsS[last].toFixed(1)} s.`
          : (job?.label ?? 'Looking for the disc…')}
      </p>
    </section>
  );
}
