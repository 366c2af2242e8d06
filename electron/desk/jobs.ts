import type { Job } from './follow-clip.ts';

/** A job that nobody watches or stops. */
export const unwatched = (): Job => ({ signal: new AbortController().signal, onProgress: () => undefined });

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
