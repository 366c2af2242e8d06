import type { ClipCheck } from '../../shared-lib/contract/clip.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { discQuestion } from '../../shared-lib/trace/disc-question.ts';
import type { ClipFindings } from './clip-queue.ts';
import type { RepsOfClip } from './clip-reps.ts';

const kinds: Record<keyof ClipCheck['verdicts'], string> = {
  drift: 'drift',
  vertical: 'heights',
  velocity: 'velocities',
  tempo: 'durations',
};

/** What a followed clip with its reps says to a coach who has not looked at it yet. */
export function findingsOf({ reps, clipFile }: RepsOfClip): ClipFindings {
  const { check } = clipFile;
  const found = reps.length === 1 ? 'One rep' : `${reps.length} reps`;
  const question = discQuestion(clipFile);
  if (question)
    return { stage: 'needs you', said: `${found} found. ${question.said}`, advice: question.advice };
  const lost = (Object.keys(kinds) as (keyof typeof kinds)[]).filter(
    (kind) => check.verdicts[kind] === 'cannot carry',
  );
  if (lost.length === 0) {
    return { stage: 'ready', said: `${found} found, the bar followed.`, advice: '' };
  }
  return {
    stage: 'needs you',
    said: `${found} found, but this clip cannot carry ${lost.map((kind) => kinds[kind]).join(', ')}.`,
    advice: check.advice[0] ?? 'Look at it in Set up before you judge by it.',
  };
}

/** What to do about a clip that is too much for the program alone. */
export const notAlone = (error: Failure): Failure =>
  error.kind === 'noBar'
    ? new Failure(error.kind, error.what, 'Take it into the review and point at the near disc in Set up.')
    : error;
