import { useRef } from 'react';
import { fileName, saveText } from '../parts/save-file.ts';
import { useDesk } from '../state/store.ts';
import { selfContained } from './self-contained.ts';

/** Saves the chart that it stands beside, in the same parent element, as an SVG file. */
export function SaveChart({ title, isShort = false }: { title: string; isShort?: boolean }) {
  const button = useRef<HTMLButtonElement>(null);
  const review = useDesk((desk) => desk.review?.now.title ?? '');
  const save = (): void => {
    const chart = button.current?.parentElement?.querySelector<SVGSVGElement>('svg.chart');
    if (!chart) return;
    const whole = review === '' ? title : `${review}: ${title.toLowerCase()}`;
    saveText(selfContained(chart, whole), `${fileName(whole)}.svg`, 'image/svg+xml');
  };
  return (
    <button
      ref={button}
      className="button bare small save-chart"
      title={`Save as a picture: ${title.toLowerCase()}`}
      onClick={save}
      onPointerDown={(event) => event.stopPropagation()}
    >
      <span aria-hidden>{isShort ? 'SVG' : 'SVG ↓'}</span>
      <span className="unseen">Save as a picture: {title.toLowerCase()}</span>
    </button>
  );
}
