import { useCallback, useEffect, useMemo, useRef, useState } from 'react';

export const speeds = [1 / 8, 1 / 4, 1 / 2, 1] as const;

/** A stretch of the clock that is run again and again, seconds. */
export type Stretch = readonly [fromS: number, toS: number];

export interface Playback {
  running: boolean;
  speed: number;
  repeating: Stretch | null;
  toggle: () => void;
  slower: () => void;
  faster: () => void;
  setSpeed: (speed: number) => void;
  /** Runs a stretch over and over; while one repeats, stops that. */
  repeat: (stretch: Stretch | null) => void;
}

/** Runs the moment shown along the clock; from the end it begins again. */
export function usePlayback(
  durationS: number,
  atS: number,
  show: (atS: number) => void,
  settle: (atS: number) => void,
): Playback {
  const [running, setRunning] = useState(false);
  const [speed, setSpeed] = useState<number>(1 / 2);
  const [repeating, setRepeating] = useState<Stretch | null>(null);
  const at = useRef(atS);
  useEffect(() => {
    at.current = atS;
  }, [atS]);

  useEffect(() => {
    if (!running) return;
    const [fromS, toS] = repeating ?? [0, durationS];
    let before = performance.now();
    let frame = requestAnimationFrame(function tick(now) {
      let next = at.current + (speed * (now - before)) / 1000;
      before = now;
      if (next >= toS || next < fromS) {
        if (!repeating) {
          settle(durationS);
          setRunning(false);
          return;
        }
        next = fromS;
      }
      at.current = next;
      show(next);
      frame = requestAnimationFrame(tick);
    });
    return () => cancelAnimationFrame(frame);
  }, [running, speed, repeating, durationS, show, settle]);

  const toggle = useCallback(() => {
    if (running) settle(at.current);
    else if (at.current >= durationS - 1e-6) show(0);
    setRunning(!running);
  }, [running, durationS, show, settle]);

  const repeat = useCallback(
    (stretch: Stretch | null) => {
      setRepeating(repeating ? null : stretch);
      if (!repeating && stretch) setRunning(true);
    },
    [repeating],
  );

  return useMemo(() => {
    const change = (by: number) => () =>
      setSpeed((now) => {
        const next = speeds.findIndex((each) => each === now) + by;
        return speeds[Math.min(Math.max(next, 0), speeds.length - 1)];
      });
    return {
      running,
      speed,
      repeating,
      toggle,
      slower: change(-1),
      faster: change(1),
      setSpeed,
      repeat,
    };
  }, [running, speed, repeating, toggle, repeat]);
}
