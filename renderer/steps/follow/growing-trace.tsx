import type { TracedPoints } from '../../../shared-lib/contract/desk.ts';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { ClipFigure } from '../../parts/clip-figure.tsx';
import { useLooked } from '../../state/looked.ts';
import { useDesk } from '../../state/store.ts';

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
  // Whatever is wrong with the clip, following it says so.
  const looked = useLooked(sha256, true);
  const job = useDesk((desk) => desk.job);
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
