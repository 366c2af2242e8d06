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
    /** What is wrong, one line. */
    readonly what: string,
    /** What to do, one line. */
    readonly advice: string,
    options?: ErrorOptions,
  ) {
    super(`${what}\n${advice}`, options);
    this.name = 'Failure';
  }
}
