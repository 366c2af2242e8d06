import { useCallback, useEffect, useRef, useState, type RefObject } from 'react';
import { moved, wholeView, zoomed, type View } from './view.ts';

/** A key moves the view by this share of a metre at zoom 1, and nears it by this factor. */
const keyM = 0.05;
const keyFactor = 1.25;

export interface ViewControl {
  view: View;
  nearer: () => void;
  farther: () => void;
  whole: () => void;
  /** One step to the right and up; negative the other way. */
  move: (right: number, up: number) => void;
}

/** One view for both panes and the chart between them: by wheel, pinch and drag on `stage`, and by what keys call. */
export function useView(stage: RefObject<HTMLElement | null>, pxPerM: (view: View) => number): ViewControl {
  const [view, setView] = useState(wholeView);
  const scaleOf = useRef(pxPerM);
  useEffect(() => {
    scaleOf.current = pxPerM;
  }, [pxPerM]);

  useEffect(() => {
    const element = stage.current;
    if (!element) return;
    const zoomAt = (factor: number, x: number, y: number, over: Element): void => {
      const box = over.getBoundingClientRect();
      const fromMiddle = { rightPx: x - (box.left + box.right) / 2, upPx: (box.top + box.bottom) / 2 - y };
      setView((now) => zoomed(now, factor, scaleOf.current(now), fromMiddle));
    };
    const paneOf = (target: EventTarget | null): Element | null =>
      target instanceof Element ? target.closest('canvas, svg') : null;
    const wheel = (event: WheelEvent): void => {
      const pane = paneOf(event.target);
      if (!pane) return;
      event.preventDefault();
      zoomAt(Math.exp(-event.deltaY / (event.ctrlKey ? 100 : 500)), event.clientX, event.clientY, pane);
    };
    const fingers = new Map<number, { x: number; y: number }>();
    const down = (event: PointerEvent): void => {
      const pane = paneOf(event.target);
      if (!pane || event.button !== 0) return;
      pane.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    };
    const move = (event: PointerEvent): void => {
      const before = fingers.get(event.pointerId);
      const pane = paneOf(event.target);
      if (!before || !pane) return;
      const now = { x: event.clientX, y: event.clientY };
      fingers.set(event.pointerId, now);
      const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
      if (other) {
        const apart = (at: { x: number; y: number }): number =>
          Math.max(Math.hypot(at.x - other.x, at.y - other.y), 1);
        zoomAt(apart(now) / apart(before), (now.x + other.x) / 2, (now.y + other.y) / 2, pane);
      } else {
        setView((held) => {
          const scale = scaleOf.current(held);
          return moved(held, (before.x - now.x) / scale, (now.y - before.y) / scale);
        });
      }
    };
    const up = (event: PointerEvent): void => void fingers.delete(event.pointerId);
    const listen = new AbortController();
    const { signal } = listen;
    element.addEventListener('wheel', wheel, { passive: false, signal });
    element.addEventListener('pointerdown', down, { signal });
    element.addEventListener('pointermove', move, { signal });
    element.addEventListener('pointerup', up, { signal });
    element.addEventListener('pointercancel', up, { signal });
    return () => listen.abort();
  }, [stage]);

  const zoomBy = (factor: number) => (): void => setView((now) => zoomed(now, factor, scaleOf.current(now)));
  return {
    view,
    nearer: useCallback(() => zoomBy(keyFactor)(), []),
    farther: useCallback(() => zoomBy(1 / keyFactor)(), []),
    whole: useCallback(() => setView(wholeView), []),
    move: useCallback(
      (right, up) => setView((now) => moved(now, (right * keyM) / now.zoom, (up * keyM) / now.zoom)),
      [],
    ),
  };
}
