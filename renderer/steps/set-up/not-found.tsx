import { useState } from 'react';
import { nearestFrame } from '../../../shared-lib/motion/frame-times.ts';
import type { ClipOptions, SideName, StatedRim } from '../../../shared-lib/contract/review.ts';
import { useLooked, type Looked } from '../../state/looked.ts';
import { PictureChoice, SetUpPicture } from './set-up-picture.tsx';
import type { Mode } from './set-up-words.ts';
import { pointAt, pointAtSleeveEnd, useRim } from './stated.ts';
import { SleeveEndFields } from './sleeve-end.tsx';

interface Props {
  name: SideName;
  sha256: string;
  options: ClipOptions;
  onFollow: () => void;
}

/** A clip in which no disc could be followed: somebody points at what is to be followed. */
export function NotFound(props: Props) {
  const looked = useLooked(props.sha256, true);
  return looked ? <PointItOut {...props} looked={looked} /> : null;
}

/** As wide as a disc is in an ordinary clip, as a share of the picture's longer side: a rim to begin to draw from. */
const usualShare = 0.07;

function PointItOut({ name, options, onFollow, looked }: Props & { looked: Looked }) {
  const { media, ptsS } = looked;
  const [mode, setMode] = useState<Mode>('point');
  const [frame, setFrame] = useState(0);
  const radiusPx = usualShare * Math.max(media.widthPx, media.heightPx);
  const begun: StatedRim = {
    ...{ ptsS: ptsS[frame], xPx: media.widthPx / 2, yPx: media.heightPx / 2 },
    ...{ aPx: radiusPx, bPx: radiusPx, thetaRad: 0 },
  };
  const rim = useRim(name, begun, ptsS, options, frame);
  const isDrawn = options.rim !== null;
  return (
    <>
      <SetUpPicture
        name={name}
        media={media}
        frame={frame}
        alt={`Frame ${frame}, in which the disc is to be pointed at`}
        mode={mode}
        rim={rim}
        showsRim={mode === 'rim' || (isDrawn && nearestFrame(ptsS, options.rim!.ptsS) === frame)}
        sleeveEnd={options.sleeveEnd}
        onPoint={(at) =>
          mode === 'sleeve'
            ? pointAtSleeveEnd(name, ptsS[frame], at, options.rim!)
            : pointAt(name, ptsS[frame], at)
        }
      />
      <PictureChoice frame={frame} ptsS={ptsS} isFixed={mode === 'rim' && isDrawn} onChoose={setFrame} />
      <p role="status">{wordsOf(mode, isDrawn)}</p>
      <div className="set-up-buttons">
        <button className="button" aria-pressed={mode === 'point'} onClick={() => setMode('point')}>
          Point at the disc
        </button>
        <button
          className="button"
          aria-pressed={mode === 'rim'}
          onClick={() => {
            if (options.rim) setFrame(nearestFrame(ptsS, options.rim.ptsS));
            setMode('rim');
          }}
        >
          Draw the rim
        </button>
        <button
          className="button"
          aria-pressed={mode === 'sleeve'}
          disabled={!isDrawn}
          onClick={() => setMode('sleeve')}
        >
          Follow the sleeve’s end
        </button>
        <button className="button bare" onClick={onFollow}>
          Look again
        </button>
      </div>
      {options.sleeveEnd && <SleeveEndFields name={name} sleeveEnd={options.sleeveEnd} />}
    </>
  );
}

function wordsOf(mode: Mode, isDrawn: boolean): string {
  if (mode === 'rim')
    return 'Choose a picture that shows the disc, and drag the handles onto its outer edge; its size is the ruler.';
  if (mode === 'sleeve') return 'Click the middle of the sleeve’s end, in any picture.';
  return isDrawn
    ? 'Choose a picture that shows the disc whole, and click its middle; or have the sleeve’s end followed instead.'
    : 'No disc is followed here yet. Choose a picture that shows the largest disc at the near end, and click its middle. Is it hidden for most of the lift? Draw its rim once, then follow the sleeve’s end.';
}
