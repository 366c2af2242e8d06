import { z } from 'zod';
import { liftSchema } from './lift.ts';
import { clipRefSchema } from './review.ts';

/** A clip that waits to be read and followed, or what became of it. */
export const queuedClipSchema = z.object({
  clip: clipRefSchema,
  lift: liftSchema,
  stage: z.enum(['waiting', 'reading', 'following', 'ready', 'needs you']),
  /** Share of this clip's work done, 0 to 1. */
  share: z.number(),
  /** What was found, or what is wrong: one sentence; empty before. */
  said: z.string(),
  /** What to do about it: one sentence; empty where there is nothing to do. */
  advice: z.string(),
});
export type QueuedClip = z.infer<typeof queuedClipSchema>;

export const isDone = ({ stage }: QueuedClip): boolean => stage === 'ready' || stage === 'needs you';

/** What needs a person comes up, then what is ready, then what is still to do; each in the order it came in. */
export function inOrderOfNeed(items: readonly QueuedClip[]): QueuedClip[] {
  const rank = ({ stage }: QueuedClip): number => (stage === 'needs you' ? 0 : stage === 'ready' ? 1 : 2);
  return [...items].sort((a, b) => rank(a) - rank(b));
}
