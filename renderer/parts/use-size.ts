import { useLayoutEffect, useRef, useState, type RefObject } from 'react';

/** The size of an element's content box, whole pixels, as it changes. */
export function useSize<T extends HTMLElement>(): [
  RefObject<T | null>,
  { widthPx: number; heightPx: number },
] {
  const ref = useRef<T>(null);
  const [size, setSize] = useState({ widthPx: 0, heightPx: 0 });
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const read = (): void => {
      const next = { widthPx: element.clientWidth, heightPx: element.clientHeight };
      setSize((now) => (now.widthPx === next.widthPx && now.heightPx === next.heightPx ? now : next));
    };
    read();
    const observer = new ResizeObserver(read);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, size];
}
