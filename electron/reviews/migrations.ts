import { nothingAsked } from '../../shared-lib/contract/circumstances.ts';
import { nothingCoached } from '../../shared-lib/contract/coaching.ts';

/** A file as it was parsed, of any version. */
export type OldFile = Record<string, unknown>;

/** `steps[0]` makes version 2 of version 1, and so on. Steps stay as they were once a version has been handed out. */
export const reviewSteps: readonly ((file: OldFile) => OldFile)[] = [fromOne];

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
    coaching: nothingCoached,
  };
}
