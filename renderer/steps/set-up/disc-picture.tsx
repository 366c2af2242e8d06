import { useState } from 'react';
import type { ClipOptions, SideName } from '../../../shared-lib/contract/review.ts';
import type { Followed } from '../../state/followed.ts';
import { bridge, change } from '../../state/store.ts';

/** A picture of the clip with the ring that was found, to look at or to point into. */
export function DiscPicture({
  followed,
  name,
  options,
  pointing,
  onDone,
}: {
  followed: Followed;
  name: SideName;
  options: ClipOptions;
  pointing: 'disc' | 'plumb' | null;
  onDone: () => void;
}) {
  const { media, track, rim } = followed;
  const [frame, setFrame] = useState(() => Math.max(0, track.state.indexOf('seen')));
  const [first, setFirst] = useState<[number, number] | null>(null);
  const [x, y] = [track.xPx[frame], track.yPx[frame]];
  const degrees = (rim.thetaRad * 180) / Math.PI;
  const point = (event: React.MouseEvent<SVGSVGElement>): void => {
    if (!pointing) return;
    const box = event.currentTarget.getBoundingClientRect();
    const at: [number, number] = [
      ((event.clientX - box.left) / box.width) * media.widthPx - 0.5,
      ((event.clientY - box.top) / box.height) * media.heightPx - 0.5,
    ];
    if (pointing === 'disc') {
      change('Point at the disc', (review) => {
        const side = review[name]!;
        side.options.seed = { ptsS: track.ptsS[frame], xPx: at[0], yPx: at[1] };
        side.discConfirmed = false;
      });
      onDone();
    } else if (!first) setFirst(at);
    else {
      change('Mark an upright', (review) => void (review[name]!.options.plumb = [...first, ...at]));
      setFirst(null);
      onDone();
    }
  };
  return (
    <figure className={`disc-picture ${pointing ? 'pointing' : ''}`}>
      <img
        width={media.widthPx}
        height={media.heightPx}
        src={bridge.transport.stillUrl(media.sha256, frame, Math.min(media.widthPx, 960))}
        alt={`Frame ${frame} with the disc that was found`}
      />
      <svg viewBox={`-0.5 -0.5 ${media.widthPx} ${media.heightPx}`} onClick={point} aria-hidden>
        {x !== null && y !== null && (
          <g transform={`translate(${x} ${y}) rotate(${degrees})`}>
            <ellipse className="ring casing" rx={rim.aPx} ry={rim.bPx} />
            <ellipse className={`ring ${name}`} rx={rim.aPx} ry={rim.bPx} />
            <circle className={`middle ${name}`} r={media.widthPx / 250} />
          </g>
        )}
        {options.plumb && (
          <line
            className="plumb"
            x1={options.plumb[0]}
            y1={options.plumb[1]}
            x2={options.plumb[2]}
            y2={options.plumb[3]}
          />
        )}
        {first && <circle className="plumb-end" cx={first[0]} cy={first[1]} r={media.widthPx / 200} />}
      </svg>
      <input
        type="range"
        aria-label="Picture shown"
        min={0}
        max={track.ptsS.length - 1}
        value={frame}
        onChange={({ target }) => setFrame(Number(target.value))}
      />
    </figure>
  );
}
