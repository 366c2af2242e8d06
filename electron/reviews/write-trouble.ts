import { Failure } from '../../shared-lib/contract/errors.ts';

const reasons: Record<string, [why: string, advice: string]> = {
  ENOSPC: ['the disk is full', 'Free some space there'],
  EDQUOT: ['your share of the disk is full', 'Free some space there'],
  EFBIG: ['the disk takes no more', 'Free some space there'],
  EROFS: ['the disk may only be read', 'Make it writable, or put it back where it can be written'],
  EACCES: ['the folder may not be written', 'Give yourself permission to write there'],
  EPERM: ['the folder may not be written', 'Give yourself permission to write there'],
  ENOENT: ['the folder is not there any more', 'Put the folder or its disk back'],
  ENOTDIR: ['a file stands where its folder was', 'Put the folder back'],
  EIO: ['the disk does not answer', 'Check the disk and its cable'],
};

/** Whether what went wrong lies with the disk or the folder. */
export const isOfDisk = (cause: unknown): boolean => ((cause as NodeJS.ErrnoException).code ?? '') in reasons;

/**
 * Why something cannot be kept, from the system's own code.
 *
 * @param word what it is: "review"
 * @param then what else to know or do
 */
export function writeTrouble(
  word: string,
  folder: string,
  cause: unknown,
  then = `the ${word} stays open meanwhile, and what was kept before is untouched`,
): Failure {
  const { code = '' } = cause as NodeJS.ErrnoException;
  const [why, advice] = reasons[code] ?? [
    'it cannot be written there',
    'Free some space there, or give yourself permission to write',
  ];
  return new Failure(
    'unusableFile',
    `The ${word} cannot be kept in ${folder}: ${why}.`,
    `${advice}; ${then}.`,
    { cause },
  );
}
