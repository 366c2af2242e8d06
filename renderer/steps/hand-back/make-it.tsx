import { useState } from 'react';
import { Checkbox, CheckboxGroup, Label, Radio, RadioGroup } from 'react-aria-components';
import {
  filmShapeSchema,
  handedBack,
  handedBackSchema,
  type HandedBack,
} from '../../../shared-lib/contract/hand-back.ts';
import { handBack, useHandedBack } from '../../state/hand-back.ts';
import { bridge, change, useDesk } from '../../state/store.ts';
import { listed, partWords } from './part-words.ts';
import { WhatWasMade } from './what-was-made.tsx';
import './exports.css';

const shapes = { landscape: 'Lying, side by side', portrait: 'Upright, one above the other' } as const;

/**
 * Makes what leaves the coach's machine, each part for itself or all together, and shows it. It waits for what will be
 * written to have been shown, and for nothing else that may begin or end under the coach's finger.
 */
export function MakeIt({ ready }: { ready: boolean }) {
  const id = useDesk(({ review }) => review!.now.id);
  const shape = useDesk(({ review }) => review!.now.coaching.handBack.film);
  const making = useHandedBack((state) => state.making);
  const made = useHandedBack((state) => state.made[id] ?? null);
  const [wanted, setWanted] = useState<readonly HandedBack[]>(['page', 'film']);
  const film = made?.value.files.find(({ kind }) => kind === 'film');
  return (
    <section aria-labelledby="make-it" className="panel">
      <h2 id="make-it">Make the files</h2>
      <CheckboxGroup
        aria-label="What to make"
        className="export-parts"
        value={[...wanted]}
        onChange={(values) => setWanted(handedBackSchema.array().parse(values))}
      >
        {handedBack.map((part) => (
          <Checkbox key={part} value={part} className="export-part">
            <span className="tick" aria-hidden />
            <span>
              <strong>{partWords[part].name}</strong>{' '}
              <span className="muted small">{partWords[part].what}</span>
            </span>
          </Checkbox>
        ))}
      </CheckboxGroup>
      <RadioGroup
        className="export-parts"
        value={shape}
        isDisabled={!wanted.includes('film') && !wanted.includes('still')}
        onChange={(value) =>
          change(
            'The film’s shape',
            ({ coaching }) => void (coaching.handBack.film = filmShapeSchema.parse(value)),
          )
        }
      >
        <Label>Film and still for the phone</Label>
        {filmShapeSchema.options.map((each) => (
          <Radio key={each} value={each} className="export-part">
            <span className="tick round" aria-hidden />
            {shapes[each]}
          </Radio>
        ))}
      </RadioGroup>
      <button
        className="button first"
        disabled={!ready || making || wanted.length === 0}
        onClick={() => void handBack(wanted)}
      >
        Make {listed(wanted)}
      </button>
      <p className="small muted">It can be stopped at any time; what was made before then stays whole.</p>
      {film && (
        <video
          key={made?.times}
          className={shape}
          controls
          muted
          playsInline
          src={`${bridge.transport.handedBackUrl(id, film.name)}?made=${made?.times}`}
          aria-label="The film as the lifter gets it"
        />
      )}
      {made && <WhatWasMade id={id} made={made.value} />}
    </section>
  );
}
