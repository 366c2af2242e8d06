import type { Job } from './follow-clip.ts';

/** A job that nobody watches or stops. */
export const unwatched = (): Job => ({ signal: new AbortController().signal, onProgress: () => undefined });

type Part<T> = (signal: AbortSignal) => Promise<T>;

/** Does parts of a job side by side; when one fails the others are stopped and waited for. */
export async function sideBySide<Results extends readonly unknown[]>(
  { signal }: Pick<Job, 'signal'>,
  ...work: { [K in keyof Results]: Part<Results[K]> }
): Promise<Results> {
  const stop = new AbortController();
  const either = AbortSignal.any([signal, stop.signal]);
  let first: unknown;
  const ends = await Promise.allSettled(
    work.map((part) =>
      part(either).catch((error: unknown) => {
        first ??= error;
        stop.abort();
        throw error;
      }),
    ),
  );
  if (stop.signal.aborted) throw first;
  return ends.map((end) => (end as PromiseFulfilledResult<unknown>).value) as unknown as Results;
}

/** Splits a job into parts of given weights whose progress adds up; parts may run side by side. */
export function parts<Name extends string>(job: Job, weights: Record<Name, number>): Record<Name, Job> {
  const names = Object.keys(weights) as Name[];
  const total = names.reduce((sum, name) => sum + weights[name], 0);
  const done = Object.fromEntries(names.map((name) => [name, 0])) as Record<Name, number>;
  const tell = (name: Name, share: number): void => {
    done[name] = Math.max(done[name], Math.min(1, share));
    job.onProgress(names.reduce((sum, each) => sum + weights[each] * done[each], 0) / total);
  };
  return Object.fromEntries(
    names.map((name) => [name, { ...job, onProgress: (share: number) => tell(name, share) }]),
  ) as Record<Name, Job>;
}
