import { channel } from 'node:diagnostics_channel';
import { throwIfStopped } from './media/process.ts';

/** Tells of what ended through no fault of its own and was started again: a `Restart`. */
export const restarts = channel('lockstep:restarted');
export interface Restart {
  /** The thread's file, or the program. */
  what: string;
  error: unknown;
}

/** Does work, and once more where it failed in a way in which it may do better a second time. */
export async function twiceAtMost<Result>(
  what: string,
  signal: AbortSignal | undefined,
  mayDoBetter: (error: unknown) => boolean,
  work: () => Promise<Result>,
): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (!mayDoBetter(error)) throw error;
    throwIfStopped(signal);
    restarts.publish({ what, error } satisfies Restart);
    return await work();
  }
}
