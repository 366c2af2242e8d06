import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';

/** Runs work on a clip; what fails calls the clip by the name that its people know, not by where it is kept. */
export async function byName<T>(file: string, name: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw error instanceof Failure ? named(error, file, name) : error;
  }
}

export function named(error: Failure, file: string, name: string): Failure {
  const say = (words: string): string => words.replaceAll(file, name).replaceAll(path.basename(file), name);
  return new Failure(error.kind, say(error.what), say(error.advice), { cause: error });
}
