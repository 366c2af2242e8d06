import { handedBack, type HandedBack } from '../../../shared-lib/contract/hand-back.ts';

export const partWords: Record<HandedBack, { name: string; what: string }> = {
  page: { name: 'Page', what: 'one file to read on a phone or to print' },
  film: { name: 'Film', what: 'both reps in step, slowed and held where a cue is' },
  still: { name: 'Still', what: 'one picture of the film, at the moment that Line up shows' },
  data: { name: 'Data', what: 'every sample, rep and change as CSV and JSON' },
};

/** "the page, the film and the data", in the order in which they are offered. */
export function listed(wanted: readonly HandedBack[]): string {
  const named = handedBack
    .filter((part) => wanted.includes(part))
    .map((part) => `the ${partWords[part].name.toLowerCase()}`);
  if (named.length === 0) return 'nothing yet';
  return named.length === 1 ? named[0] : `${named.slice(0, -1).join(', ')} and ${named.at(-1)}`;
}
