import { Radio, RadioGroup } from 'react-aria-components';
import { liftSchema } from '../../../shared-lib/contract/lift.ts';
import { sideNames } from '../../../shared-lib/contract/review.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import { NumberInput } from '../../parts/number-input.tsx';
import { change, look, useDesk } from '../../state/store.ts';
import { LifterChoice } from '../../lifters/lifter-choice.tsx';
import { CircumstancesOfBoth } from './circumstances.tsx';
import { ClipCard } from './clip-card.tsx';
import { ClipQueue } from './clip-queue.tsx';
import './bring-in.css';

/** Two clips and what is known of them. Only the clips and the lift are needed to go on. */
export function BringIn() {
  const review = useDesk((desk) => desk.review!.now);
  const ready = review.reference !== null && review.today !== null;
  return (
    <div className="column">
      <h1>Bring in</h1>
      <RadioGroup
        className="field"
        value={review.lift}
        onChange={(lift) => change('Choose the lift', (draft) => void (draft.lift = liftSchema.parse(lift)))}
        aria-label="Lift"
      >
        <div className="choices">
          {liftSchema.options.map((lift) => (
            <Radio key={lift} value={lift} className="choice">
              {texts.measures.liftTitles[lift]}
            </Radio>
          ))}
        </div>
      </RadioGroup>
      <div className="two-clips">
        {sideNames.map((side) => (
          <ClipCard key={side} side={side} />
        ))}
      </div>
      <div className="go-on">
        <button
          className="button first"
          disabled={!ready}
          onClick={() => look((draft) => void (draft.place.step = 'Line up'))}
        >
          Compare the two
        </button>
        <span className="muted">
          {ready ? 'The bar is found and followed by itself.' : 'Bring in both clips to go on.'}
        </span>
      </div>
      <details className="context">
        <summary>About the lifter and the question</summary>
        <div className="context-fields">
          <LifterChoice />
          {review.lifterId === null && (
            <div className="field">
              <label htmlFor="lifter">Name, while the lifter has no file</label>
              <input
                id="lifter"
                value={review.lifter.name}
                maxLength={120}
                onChange={({ target }) =>
                  change('Name the lifter', (draft) => void (draft.lifter.name = target.value))
                }
              />
            </div>
          )}
          <NumberInput
            label="Body weight, kg"
            value={review.lifter.bodyKg}
            from={20}
            to={400}
            onChange={(kg) => change('Body weight', (draft) => void (draft.lifter.bodyKg = kg))}
          />
          <div className="field wide">
            <label htmlFor="asked">What the lifter asks</label>
            <textarea
              id="asked"
              rows={2}
              maxLength={4000}
              value={review.asked}
              onChange={({ target }) => change('The question', (draft) => void (draft.asked = target.value))}
            />
          </div>
        </div>
      </details>
      <CircumstancesOfBoth />
      <ClipQueue />
      <p className="muted small">
        Clips stay where they are on this machine, and nothing leaves it. Lockstep measures and shows; the
        coach judges. No medical advice: for pain, see a licensed clinician. Heavy attempts need spotters or
        safeties.
      </p>
    </div>
  );
}
