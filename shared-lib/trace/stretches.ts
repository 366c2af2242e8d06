import type { FrameStretch } from '../contract/trace.ts';

/** The stretches of frames, of so many, in which something holds; in time order. */
export function stretchesWhere(frames: number, holds: (frame: number) => boolean): FrameStretch[] {
  const stretches: FrameStretch[] = [];
  let from = -1;
  for (let i = 0; i <= frames; i++) {
    const inside = i < frames && holds(i);
    if (inside && from < 0) from = i;
    if (!inside && from >= 0) {
      stretches.push({ from, to: i });
      from = -1;
    }
  }
  return stretches;
}
