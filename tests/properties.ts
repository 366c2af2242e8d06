import fc from 'fast-check';

/**
 * Properties are tried with the same numbers in every run, so that a change is judged by what it changes. Set
 * LOCKSTEP_SEED to try others.
 */
fc.configureGlobal({ seed: Number(process.env.LOCKSTEP_SEED ?? 20260301) });
