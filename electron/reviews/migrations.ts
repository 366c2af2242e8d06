import { nothingAsked } from '../../shared-lib/contract/circumstances.ts';

/** A file as it was parsed, of any version. */
export type OldFile = Record<string, unknown>;

/** `steps[0]` makes version 2 of version 1, and so on. Steps stay as they were once a version has been handed out. */
export const reviewSteps: readonly ((file: OldFile) => OldFile)[] = [fromOne, fromTwo];

const isObject = (value: unknown): value is OldFile => typeof value === 'object' && value !== null;

/** Version 2: lifters have files of their own, reps their circumstances, and the coach a say. */
function fromOne(file: OldFile): OldFile {
  const side = (value: unknown): unknown =>
    isObject(value) ? { ...value, circumstances: nothingAsked } : value;
  return {
    ...file,
    schema: 2,
    lifterId: null,
    reference: side(file.reference),
    today: side(file.today),
    coaching: {
      observations: [],
      cues: [],
      nothingToChange: false,
      tooHeavyToLearn: false,
      competition: null,
      wishedPath: null,
      seenAgain: [],
      pain: '',
      words: { answer: null, heldUp: null, notJudged: null, filmNext: null },
    },
  };
}

/** Version 3: any text of what goes back can be written over, not four of them alone; and the film has a shape. */
function fromTwo(file: OldFile): OldFile {
  if (!isObject(file.coaching)) return { ...file, schema: 3 };
  const { words, ...coaching } = file.coaching;
  const said = Object.entries(isObject(words) ? words : {}).filter(([, text]) => typeof text === 'string');
  return {
    ...file,
    schema: 3,
    coaching: { ...coaching, handBack: { said: Object.fromEntries(said), film: 'landscape' } },
  };
}
