/** The part of pino-roll, which has no types of its own, that the log uses. */
declare module 'pino-roll' {
  import type { Writable } from 'node:stream';

  export default function roll(options: {
    /** Path of the file; a number is put before its ending. */
    file: string;
    /** At which a new file is begun: a number with k or m. */
    size: string;
    limit: { count: number; removeOtherLogFiles: boolean };
    mkdir: boolean;
    sync: boolean;
  }): Promise<Writable>;
}
