import { useEffect } from 'react';
import { create } from 'zustand';
import { inOrderOfNeed, isDone, type QueuedClip } from '../../shared-lib/contract/queue.ts';
import { newSide, type SideName } from '../../shared-lib/contract/review.ts';
import { bridge, change, run, tell, useDesk } from './store.ts';

/** Clips that are read and followed in the background, as last heard; null before. */
const useItems = create<{ items: readonly QueuedClip[] | null }>(() => ({ items: null }));
const show = (items: readonly QueuedClip[]): void => useItems.setState({ items });

/** The queue is looked at this often while something in it is not done, milliseconds. */
const lookEveryMs = 1000;

/** The queue, what needs a person first. */
export function useQueue(): readonly QueuedClip[] {
  const items = useItems((state) => state.items);
  const isBusy = items === null || !items.every(isDone);
  useEffect(() => {
    if (!isBusy) return;
    let stay = true;
    const look = async (): Promise<void> => {
      const found = await bridge.call('queue', {});
      if (stay) show(found);
    };
    look().catch(tell);
    const timer = setInterval(() => void look().catch(() => undefined), lookEveryMs);
    return () => {
      stay = false;
      clearInterval(timer);
    };
  }, [isBusy]);
  return inOrderOfNeed(items ?? []);
}

/** Takes clips in one after the other; each joins the queue as soon as it is here, and one that cannot be taken stops no other. */
export async function queueFiles(files: readonly File[]): Promise<void> {
  const lift = useDesk.getState().review?.now.lift;
  if (!lift) return;
  let done = 0;
  const failed: string[] = [];
  await run(`Bringing in ${files.length} clips`, async ({ signal, onProgress }) => {
    for (const file of files) {
      try {
        const clip = await bridge.transport.sendClip(
          file,
          (share) => onProgress((done + share) / files.length),
          signal,
        );
        show(await bridge.call('queueClips', { clips: [clip], lift }));
      } catch (error) {
        if (signal.aborted) throw error;
        failed.push(file.name);
      }
      done++;
    }
  });
  if (failed.length > 0) {
    useDesk.setState({
      trouble: {
        what: `${failed.length} of ${files.length} clips could not be brought in: ${failed.join(', ')}.`,
        advice: 'The others are in the queue. Check these files and drop them in again.',
      },
    });
  }
}

export async function leaveQueue(sha256: string): Promise<void> {
  try {
    show(await bridge.call('leaveQueue', { sha256 }));
  } catch (error) {
    tell(error);
  }
}

/** A clip of the queue as one side of the review that is open; it stays in the queue. */
export function takeFromQueue({ clip }: QueuedClip, side: SideName): void {
  change(side === 'today' ? 'Take today’s rep' : 'Take the reference rep', (review) => {
    review[side] = newSide(clip);
    if (review.title === '') review.title = clip.name.replace(/\.[^.]+$/, '');
  });
}
