import { type Content, Markup, element } from '../markup.ts';
import { texts } from '../../texts/texts.ts';

/** What every chart says of itself to those who do not see it. */
export interface Described {
  /** Unique on the page. */
  id: string;
  title: string;
  /** The finding, in a sentence or two. */
  finding: string;
}

/** An SVG picture with its text alternative; it takes its size from the text size so that it grows with it. */
export function picture(
  d: Described,
  widthPx: number,
  heightPx: number,
  className: string,
  ...content: Content[]
): Markup {
  const [titleId, findingId] = [`${d.id}-title`, `${d.id}-finding`];
  return element(
    'svg',
    {
      viewBox: `0 0 ${Math.round(widthPx)} ${Math.round(heightPx)}`,
      width: `${widthPx / 16}rem`,
      class: `chart ${className}`,
      role: 'img',
      'aria-labelledby': titleId,
      'aria-describedby': findingId,
    },
    element('title', { id: titleId }, d.title),
    element('desc', { id: findingId }, d.finding),
    ...content,
  );
}

export type Which = 'reference' | 'today';

/** Line sample and marker of one rep: what tells the two apart without colour. */
export function keySample(which: Which, x: number, y: number): Markup {
  return element(
    'g',
    {},
    element('path', { d: `M${x},${y}h34`, class: `line ${which}` }),
    element('circle', { cx: x + 17, cy: y, r: 4, class: `marker ${which}` }),
  );
}

/** The key of both reps on one line, starting at x, y. */
export function key(x: number, y: number): Markup {
  return element(
    'g',
    { class: 'key' },
    keySample('reference', x, y),
    element('text', { x: x + 40, y: y + 4 }, texts.page.key.reference),
    keySample('today', x + 118, y),
    element('text', { x: x + 158, y: y + 4 }, texts.page.key.today),
  );
}
