/** Exit statuses of the command line. */
export const exitStatus = { done: 0, usage: 2, unusableFile: 3, noBar: 4, stopped: 130 } as const;

export type FailureKind = keyof Omit<typeof exitStatus, 'done'>;

/**
 * A failure the user can do something about: one sentence what is wrong, one what to do. Anything else
 * that is thrown is a fault of the program.
 */
export class Failure extends Error {
  constructor(
    readonly kind: FailureKind,
    what: string,
    advice: string,
    options?: ErrorOptions,
  ) {
    super(`${oneLine(what)}\n${oneLine(advice)}`, options);
    this.name = 'Failure';
    this.what = oneLine(what);
    this.advice = oneLine(advice);
  }

  /** What is wrong, one line. */
  readonly what: string;
  /** What to do, one line. */
  readonly advice: string;
}

/** A clip that was moved, renamed or deleted since it was brought in: its user may know where it is. */
export class LostClip extends Failure {
  constructor(
    readonly clip: { sha256: string; name: string },
    what: string,
    advice: string,
  ) {
    super('unusableFile', what, advice);
  }
}

/**
 * Text as one line that says what it seems to say: file names may hold line ends, a terminal's commands and marks that
 * turn the direction of writing.
 */
export function oneLine(text: string): string {
  return text.replace(/[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]/gu, '\ufffd');
}
