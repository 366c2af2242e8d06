import { escapeText, type AssEvent, type AssStyle } from './ass.ts';
import { film, pane, type PaneLayout } from './film-layout.ts';
import { barMarks, pathMarks } from './film-marks.ts';
import { runs } from './film-paths.ts';
import { sideNames, type FilmSpec, type SideName } from './film-spec.ts';
import { elapsedS, filmFps, realTime, speedAt, type Phase, type Timeline } from './film-timeline.ts';

/** Smallest text 30 px: on a phone's screen of 14 cm across that is 2.2 mm. */
export const styles: AssStyle[] = [
  { name: 'Drawing', sizePx: 20, colour: '#FFFFFF' },
  { name: 'Title', sizePx: 46, bold: true, colour: '#FFFFFF' },
  { name: 'Phase', sizePx: 48, colour: '#FFFFFF' },
  { name: 'Detail', sizePx: 34, colour: '#C9CED6' },
  { name: 'Caution', sizePx: 30, colour: '#C9CED6' },
];

/** Distance of text from a pane's edge and the middle of each row, film pixels. */
const inset = 24;
const rows = { title: 46, phase: 908, detail: 962, caution: 1034 };

/** Width of a title's swatch with its marker and the space after it. */
const swatchPx = 76;
const titleLeft = inset + swatchPx + 36;

/** All words of the film, and the swatches that say which line is whose. */
export function captionEvents(
  spec: FilmSpec,
  timeline: Timeline,
  layouts: Record<SideName, PaneLayout>,
): AssEvent[] {
  const toS = timeline.pictures / filmFps;
  const caution = placed(film.width / 2, rows.caution, 5, `{\\q0}${escapeText(spec.caution)}`);
  return [
    { layer: 8, fromS: 0, toS, style: 'Caution', text: caution },
    ...sideNames.flatMap((name) => {
      const { left } = layouts[name];
      return [
        ...titleEvents(name, spec[name].title, left, toS),
        ...phaseEvents(timeline, name, left),
        ...doneEvents(timeline, name, left),
      ];
    }),
  ];
}

/** Text at a point; `anchor` as on a numeric keypad: 4 left, 5 middle, 6 right. */
function placed(x: number, y: number, anchor: 4 | 5 | 6, text: string): string {
  return `{\\an${anchor}\\pos(${x},${y})}${text}`;
}

function titleEvents(name: SideName, title: string, left: number, toS: number): AssEvent[] {
  const clip = { x: left, y: 0, width: pane.width, height: pane.top };
  const from = { x: left + inset, y: rows.title };
  const to = { x: from.x + swatchPx, y: rows.title };
  const marks = [...pathMarks(name, [[from, to]], clip, 'drive'), ...barMarks(name, to, clip)];
  const { sizePx, text } = fitted(title, pane.width - titleLeft - inset);
  return [
    ...marks.map((mark) => ({ layer: mark.layer, fromS: 0, toS, style: 'Drawing', text: mark.text })),
    {
      layer: 8,
      fromS: 0,
      toS,
      style: 'Title',
      text: placed(left + titleLeft, rows.title, 4, `{\\fs${sizePx}}${escapeText(text)}`),
    },
  ];
}

const titleSizes = { largest: 46, smallest: 32 };
/** Width of a letter of the bold font relative to its line, generous. */
function letterWidth(letter: string): number {
  if (letter > '\u2e80') return 1;
  return /\p{Lu}/u.test(letter) ? 0.72 : 0.56;
}

/** The largest size at which a title fits its bar; one that does not fit at the smallest is cut. */
export function fitted(title: string, widthPx: number): { sizePx: number; text: string } {
  const letters = [...title];
  const width = (list: readonly string[]): number => list.reduce((sum, each) => sum + letterWidth(each), 0);
  const sizePx = Math.floor(Math.min(titleSizes.largest, widthPx / Math.max(width(letters), 1)));
  if (sizePx >= titleSizes.smallest) return { sizePx, text: title };
  const kept = [...letters];
  while (kept.length > 0 && width([...kept, '…']) * titleSizes.smallest > widthPx) kept.pop();
  return { sizePx: titleSizes.smallest, text: `${kept.join('').trimEnd()}…` };
}

function seconds(timeS: number): string {
  return `${timeS.toFixed(1)} s`;
}

const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

/** The phase that runs, how long it has run in this rep, and, where time is stretched, how much. */
function phaseEvents(timeline: Timeline, name: SideName, left: number): AssEvent[] {
  const texts = Array.from({ length: timeline.pictures }, (_, k) => {
    const filmS = k / filmFps;
    const phase = phaseAt(timeline.phases, filmS);
    const elapsed = phase.name === 'set-up' ? '' : `   ${seconds(elapsedS(timeline, name, phase, filmS))}`;
    return `{\\b1}${capital(phase.name)}{\\b0}${elapsed}`;
  });
  const paces = Array.from({ length: timeline.pictures }, (_, k) => paceWords(timeline, name, k / filmFps));
  const right = left + pane.width - inset;
  return [
    ...timed(texts, 'Phase', (text) => placed(left + inset, rows.phase, 4, text)),
    ...timed(paces, 'Detail', (text) => placed(right, rows.phase, 6, text)),
  ];
}

/** How this side runs, where that is not as in life. A stretch of less than one part in fifty cannot be seen. */
function paceWords(timeline: Timeline, name: SideName, filmS: number): string {
  const realS = realTime(timeline, name, filmS);
  if (realS < 0) return 'clip has not begun';
  if (realS > timeline.clipEndS[name]) return 'clip has ended';
  const speed = speedAt(timeline, name, filmS);
  if (speed === 0) return 'waits';
  return Math.abs(speed - 1) < 0.02 ? '' : `at ${Math.round(speed * 100)} % speed`;
}

function phaseAt(phases: readonly Phase[], filmS: number): Phase {
  return phases.findLast(({ fromS }) => fromS <= filmS) ?? phases[0];
}

/** The phases that are over, with their lengths. */
function doneEvents(timeline: Timeline, name: SideName, left: number): AssEvent[] {
  const texts = Array.from({ length: timeline.pictures }, (_, k) =>
    timeline.phases
      .filter((phase) => phase.name !== 'set-up' && phase.toS <= k / filmFps)
      .map((phase) => `${phase.name} ${seconds(elapsedS(timeline, name, phase, phase.toS))}`)
      .join('  ·  '),
  );
  return timed(texts, 'Detail', (text) => placed(left + inset, rows.detail, 4, text));
}

/** One event for each stretch of pictures with the same text, none for empty text. */
function timed(texts: readonly string[], style: string, text: (words: string) => string): AssEvent[] {
  return runs(texts)
    .filter(({ value }) => value !== '')
    .map(({ value, from, to }) => ({
      layer: 8,
      fromS: from / filmFps,
      toS: to / filmFps,
      style,
      text: text(value),
    }));
}
