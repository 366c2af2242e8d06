import type { ClipOptions, SideName, SleeveEnd } from '../../../shared-lib/contract/review.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import type { Followed } from '../../state/followed.ts';
import { change } from '../../state/store.ts';
import type { Mode } from './set-up-words.ts';
import { Statement } from './statement.tsx';

interface Props {
  name: SideName;
  sleeveEnd: SleeveEnd;
}

/** The two lengths that say how much nearer to the camera the sleeve's end is. */
export function SleeveEndFields({ name, sleeveEnd: { proudM, cameraM } }: Props) {
  const say = (label: string, recipe: (end: SleeveEnd) => void): void =>
    change(label, (review) => recipe(review[name]!.options.sleeveEnd!));
  return (
    <>
      <NumberInput
        label="Stands out from the disc, cm"
        value={proudM === null ? null : Math.round(1000 * proudM) / 10}
        from={0}
        to={50}
        onChange={(cm) =>
          say('How far the sleeve stands out', (end) => void (end.proudM = cm === null ? null : cm / 100))
        }
      />
      <NumberInput
        label="Camera’s distance, m"
        value={cameraM}
        from={0.5}
        to={50}
        onChange={(m) => say('The camera’s distance', (end) => void (end.cameraM = m))}
      />
    </>
  );
}

/** What is followed: the disc, or the end of the sleeve where the disc is hidden. */
export function FollowedStatement({
  name,
  options,
  calibration,
  mode,
  onMode,
}: {
  name: SideName;
  options: ClipOptions;
  calibration: Followed['calibration'];
  mode: Mode;
  onMode: (mode: Mode) => void;
}) {
  const { sleeveEnd } = options;
  return (
    <Statement
      title="Followed"
      isOpen={mode === 'sleeve'}
      onOpen={(open) => onMode(open ? 'sleeve' : 'look')}
      says={wordsOf(calibration, mode)}
    >
      {sleeveEnd && <SleeveEndFields name={name} sleeveEnd={sleeveEnd} />}
      <div className="set-up-buttons">
        {sleeveEnd && (
          <button
            className="button"
            onClick={() => {
              change('Follow the disc', (review) => void (review[name]!.options.sleeveEnd = null));
              onMode('look');
            }}
          >
            Follow the disc again
          </button>
        )}
      </div>
    </Statement>
  );
}

function wordsOf({ sleeveEnd }: Followed['calibration'], mode: Mode): string {
  if (sleeveEnd) {
    const { proudM, cameraM, factor, factorSigma } = sleeveEnd;
    return `The sleeve’s end, ${Math.round(100 * proudM)} cm nearer than the disc and ${cameraM.toFixed(1)} m from the camera: its way is made smaller by ${(100 * (1 - factor)).toFixed(1)} % ± ${(196 * factorSigma).toFixed(1)} %.`;
  }
  return mode === 'sleeve'
    ? 'Click the middle of the sleeve’s end, for clips in which the disc is hidden most of the time.'
    : 'The disc.';
}
