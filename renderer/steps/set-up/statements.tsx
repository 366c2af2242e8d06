import { Radio, RadioGroup } from 'react-aria-components';
import type { ClipOptions, DiscKnown, SideName } from '../../../shared-lib/contract/review.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import type { Followed } from '../../state/followed.ts';
import { change, useDesk } from '../../state/store.ts';
import { Statement } from './statement.tsx';

interface Props {
  name: SideName;
  options: ClipOptions;
}

const say = (name: SideName, label: string, recipe: (options: ClipOptions) => void): void =>
  change(label, (review) => recipe(review[name]!.options));

/** Usual sizes; smaller discs vary, so that theirs is only about right. */
const sizes: readonly { mm: number | null; known: DiscKnown; words: string }[] = [
  { mm: null, known: 'measured', words: 'Not measured: about 450' },
  { mm: 450, known: 'rule', words: '450, a competition disc' },
  { mm: 400, known: 'usual', words: 'about 400, usual for 15 kg' },
  { mm: 325, known: 'usual', words: 'about 325, usual for 10 kg' },
];
const keyOf = ({ discMm, discKnown }: Pick<ClipOptions, 'discMm' | 'discKnown'>): string =>
  discMm === null || discKnown === 'measured'
    ? discMm === null
      ? 'null-measured'
      : 'own'
    : `${discMm}-${discKnown}`;

export function SizeStatement({ name, options }: Props) {
  const otherName = name === 'today' ? 'reference' : 'today';
  const other = useDesk((desk) => desk.review!.now[otherName]?.options ?? null);
  const { discMm, discKnown } = options;
  const differs = other && (other.discMm !== discMm || other.discKnown !== discKnown);
  const says =
    discMm === null
      ? 'Not measured: taken as 450 mm, give or take 13.'
      : discKnown === 'measured'
        ? `${discMm} mm across, measured.`
        : discKnown === 'rule'
          ? `${discMm} mm across, by the competition’s rule.`
          : `About ${discMm} mm across, as discs of its mass usually are.`;
  return (
    <Statement title="Disc’s size" says={says}>
      <RadioGroup
        aria-label="Disc’s diameter, mm"
        value={keyOf(options)}
        onChange={(key) => {
          const size = sizes.find(({ mm, known }) => `${mm}-${known}` === key);
          if (!size) return;
          say(name, 'The disc’s diameter', (draft) => {
            draft.discMm = size.mm;
            draft.discKnown = size.known;
          });
        }}
      >
        <div className="choices">
          {sizes.map(({ mm, known, words }) => (
            <Radio key={words} value={`${mm}-${known}`} className="choice">
              {words}
            </Radio>
          ))}
        </div>
      </RadioGroup>
      <NumberInput
        label="Or as measured, mm"
        value={discKnown === 'measured' ? discMm : null}
        from={100}
        to={600}
        onChange={(mm) =>
          say(name, 'The disc’s diameter', (draft) => {
            draft.discMm = mm;
            draft.discKnown = 'measured';
          })
        }
      />
      {differs && (
        <button
          className="button"
          onClick={() =>
            say(otherName, 'The same disc in both clips', (draft) => {
              draft.discMm = discMm;
              draft.discKnown = discKnown;
            })
          }
        >
          The same disc in both clips
        </button>
      )}
    </Statement>
  );
}

export function FacingStatement({ name, options }: Props) {
  const lift = useDesk((desk) => desk.review!.now.lift);
  const { facing } = options;
  const who = lift === 'bench' ? 'The feet are on the' : 'The lifter faces';
  return (
    <Statement
      title="Direction"
      says={facing === null ? `${who} …` : `${who} ${facing} of the picture.`}
      isAsked={facing === null}
    >
      <RadioGroup
        aria-label={lift === 'bench' ? 'Side of the feet' : 'Way the lifter faces'}
        value={facing}
        onChange={(value) =>
          say(name, 'Which way the lifter faces', (draft) => {
            draft.facing = value === 'left' ? 'left' : 'right';
          })
        }
      >
        <div className="choices">
          <Radio className="choice" value="left">
            left
          </Radio>
          <Radio className="choice" value="right">
            right
          </Radio>
        </div>
      </RadioGroup>
    </Statement>
  );
}

/** Capture this much faster than playback is slow motion. */
const leastSlow = 1.5;

/** Asked where the file says that it was taken faster than it plays, or the bar moves as nothing does; else one quiet line. */
export function SpeedStatement({ name, options, followed }: Props & { followed: Followed }) {
  const { media, timing, speedDoubt } = followed;
  const tagged = media.captureFps === null ? 1 : media.captureFps * timing.medianIntervalS;
  const isTagged = tagged >= leastSlow;
  const { slowMotion } = options;
  // What was answered is not asked again.
  const isOpen = slowMotion === null && (isTagged || speedDoubt !== null);
  const likely = isTagged ? tagged : (speedDoubt?.timesSlower ?? null);
  const set = (times: number | null): void =>
    say(name, 'Slow motion', (draft) => void (draft.slowMotion = times));
  const times = (value: number): string => value.toFixed(1).replace(/\.0$/, '');
  const question = isTagged
    ? `The file says it was taken at ${Math.round(media.captureFps!)} frames a second, and plays ${times(tagged)} times slower than life. Every velocity depends on it. Is it so?`
    : `${speedDoubt?.said} Every velocity depends on the clip’s speed: how many times slower than life does it play?`;
  const says = isOpen
    ? question
    : slowMotion === null
      ? 'Plays as fast as life.'
      : slowMotion === 1
        ? 'Plays as fast as life, as you said.'
        : `Plays ${times(slowMotion)} times slower than life, as you said.`;
  return (
    <Statement title="Speed" says={says} isAsked={isOpen}>
      <div className="set-up-buttons">
        {likely !== null && (
          <button className="button first" onClick={() => set(isTagged ? likely : Number(likely.toFixed(1)))}>
            {isTagged ? 'Yes,' : 'About'} {times(likely)} times slower
          </button>
        )}
        <button className="button" onClick={() => set(1)}>
          It plays as fast as life
        </button>
      </div>
      <NumberInput label="Or times slower than life" value={slowMotion} from={1} to={40} onChange={set} />
    </Statement>
  );
}
