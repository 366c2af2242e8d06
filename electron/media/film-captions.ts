import { escapeText, type AssEvent, type AssStyle } from './ass.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import type { Breath } from './film-breaths.ts';
import { filmFrames, type FilmFrame, type SidePlace } from './film-frame.ts';
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
  { name: 'Cue', sizePx: 64, bold: true, colour: '#FFFFFF' },
];

/** Distance of text from a pane's edge, film pixels. */
const inset = 24;

/** Half the height of a row of words, film pixels. */
const rowPx = 40;

/** Width of a title's swatch with its marker and the space after it. */
const swatchPx = 76;
const titleLeft = inset + swatchPx + 36;

/** All words of the film, and the swatches that say which line is whose. */
export function captionEvents(spec: FilmSpec, timeline: Timeline): AssEvent[] {
  const toS = timeline.pictures / filmFps;
  const frame = filmFrames[spec.shape ?? 'landscape'];
  const caution = placed(frame.width / 2, frame.cautionY, 5, `{\\q0}${escapeText(spec.caution)}`);
  return [
    { layer: 8, fromS: 0, toS, style: 'Caution', text: caution },
    ...timeline.breaths.map((breath) => cueEvent(breath, frame)),
    ...sideNames.flatMap((name) => {
      const place = frame.sides[name];
      // Its rows give way to the words of a cue.
      const hidden = frame.cue.over.includes(name) ? timeline.breaths : [];
      const shown = (texts: string[]): string[] =>
        texts.map((text, k) => (hidden.some((breath) => holds(breath, k)) ? '' : text));
      return [
        ...titleEvents(name, spec[name].title, place, toS),
        ...phaseEvents(timeline, name, place, shown),
        ...doneEvents(timeline, name, place, shown),
      ];
    }),
  ];
}

const holds = ({ fromS, toS }: Breath, picture: number): boolean => {
  const filmS = picture / filmFps;
  return filmS >= fromS && filmS < toS;
};

/** Sizes that a cue is written in, the first at which it fits; the smallest is 34 px, 2.5 mm on a phone held level. */
const cueSizes = [64, 56, 48, 40, 34];
const cueLeading = 1.12;

function cueEvent({ fromS, toS, text }: Breath, { cue }: FilmFrame): AssEvent {
  const { sizePx, lines } = fittedLines(text, cue.width, cue.height);
  const words = lines.map(escapeText).join('\\N');
  return {
    layer: 9,
    fromS,
    toS,
    style: 'Cue',
    text: placed(cue.left + cue.width / 2, cue.top + cue.height / 2, 5, `{\\fs${sizePx}}${words}`),
  };
}

/** Words broken into lines at the largest size at which they fit a box; what does not fit at the smallest is cut. */
export function fittedLines(
  text: string,
  widthPx: number,
  heightPx: number,
): { sizePx: number; lines: string[] } {
  for (const sizePx of cueSizes) {
    const lines = balanced(text, widthPx / sizePx);
    if (lines.length * sizePx * cueLeading <= heightPx || sizePx === cueSizes.at(-1)) {
      const most = Math.max(1, Math.floor(heightPx / (sizePx * cueLeading)));
      if (lines.length <= most) return { sizePx, lines };
      return { sizePx, lines: [...lines.slice(0, most - 1), `${lines[most - 1]}…`] };
    }
  }
  return { sizePx: cueSizes[0], lines: [text] };
}

/** Words in as few lines as they need, of about one length, so that none is left alone. */
function balanced(text: string, width: number): string[] {
  let lines = broken(text, width);
  for (let narrower = width * 0.96; narrower > width / 2; narrower *= 0.96) {
    const tried = broken(text, narrower);
    if (tried.length > lines.length) break;
    lines = tried;
  }
  return lines;
}

/** Words in lines no longer than a width, in line heights; a word that is longer than a line is broken. */
function broken(text: string, width: number): string[] {
  const lines: string[] = [];
  const words = text.split(/\s+/).flatMap((word) => pieces(word, width));
  for (const word of words) {
    const last = lines.at(-1);
    if (last !== undefined && widthOf(`${last} ${word}`) <= width)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

function pieces(word: string, width: number): string[] {
  const out = [''];
  for (const letter of word) {
    if (widthOf(out.at(-1)! + letter) > width) out.push('');
    out[out.length - 1] += letter;
  }
  return out;
}

const widthOf = (text: string): number => [...text].reduce((sum, each) => sum + letterWidth(each), 0);

/** Text at a point; `anchor` as on a numeric keypad: 4 left, 5 middle, 6 right. */
function placed(x: number, y: number, anchor: 4 | 5 | 6, text: string): string {
  return `{\\an${anchor}\\pos(${x},${y})}${text}`;
}

function titleEvents(name: SideName, title: string, { pane, titleY }: SidePlace, toS: number): AssEvent[] {
  const { left } = pane;
  const clip = { x: left, y: titleY - rowPx, width: pane.width, height: 2 * rowPx };
  const from = { x: left + inset, y: titleY };
  const to = { x: from.x + swatchPx, y: titleY };
  const marks = [...pathMarks(name, [[from, to]], clip, 'drive'), ...barMarks(name, to, clip)];
  const { sizePx, text } = fitted(title, pane.width - titleLeft - inset);
  return [
    ...marks.map((mark) => ({ layer: mark.layer, fromS: 0, toS, style: 'Drawing', text: mark.text })),
    {
      layer: 8,
      fromS: 0,
      toS,
      style: 'Title',
      text: placed(left + titleLeft, titleY, 4, `{\\fs${sizePx}}${escapeText(text)}`),
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
  const width = (list: readonly string[]): number => widthOf(list.join(''));
  const sizePx = Math.floor(Math.min(titleSizes.largest, widthPx / Math.max(width(letters), 1)));
  if (sizePx >= titleSizes.smallest) return { sizePx, text: title };
  const kept = [...letters];
  while (kept.length > 0 && width([...kept, '…']) * titleSizes.smallest > widthPx) kept.pop();
  return { sizePx: titleSizes.smallest, text: `${kept.join('').trimEnd()}…` };
}

const words = texts.film;
const { phaseTitles } = texts.measures;

/** The phase that runs, how long it has run in this rep, and, where time is stretched, how much. */
function phaseEvents(
  timeline: Timeline,
  name: SideName,
  { pane, phaseY }: SidePlace,
  shown: (texts: string[]) => string[],
): AssEvent[] {
  const texts = Array.from({ length: timeline.pictures }, (_, k) => {
    const filmS = k / filmFps;
    const phase = phaseAt(timeline.phases, filmS);
    const elapsed =
      phase.name === 'set-up' ? '' : `   ${words.seconds(elapsedS(timeline, name, phase, filmS))}`;
    return `{\\b1}${phaseTitles[phase.name]}{\\b0}${elapsed}`;
  });
  const paces = Array.from({ length: timeline.pictures }, (_, k) => paceWords(timeline, name, k / filmFps));
  const right = pane.left + pane.width - inset;
  return [
    ...timed(shown(texts), 'Phase', (text) => placed(pane.left + inset, phaseY, 4, text)),
    ...timed(shown(paces), 'Detail', (text) => placed(right, phaseY, 6, text)),
  ];
}

/** How this side runs, where that is not as in life. A stretch of less than one part in fifty cannot be seen. */
function paceWords(timeline: Timeline, name: SideName, filmS: number): string {
  const realS = realTime(timeline, name, filmS);
  if (timeline.breaths.some(({ fromS, toS }) => filmS >= fromS && filmS < toS)) return '';
  if (realS < 0) return words.notBegun;
  if (realS > timeline.clipEndS[name]) return words.ended;
  if (speedAt(timeline, name, filmS) === 0) return words.waits;
  const slowed = sideNames.filter((side) => speedAt(timeline, side, filmS) < 0.98);
  if (!slowed.includes(name)) return '';
  return slowed.length === sideNames.length ? words.slowMotion : words.keepsStep;
}

function phaseAt(phases: readonly Phase[], filmS: number): Phase {
  return phases.findLast(({ fromS }) => fromS <= filmS) ?? phases[0];
}

/** The phases that are over, with their lengths. */
function doneEvents(
  timeline: Timeline,
  name: SideName,
  { pane, doneY }: SidePlace,
  shown: (texts: string[]) => string[],
): AssEvent[] {
  const texts = Array.from({ length: timeline.pictures }, (_, k) =>
    timeline.phases
      .filter((phase) => phase.name !== 'set-up' && phase.toS <= k / filmFps)
      .map((phase) => words.done(phaseTitles[phase.name], elapsedS(timeline, name, phase, phase.toS)))
      .join('  ·  '),
  );
  return timed(shown(texts), 'Detail', (text) => placed(pane.left + inset, doneY, 4, text));
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
