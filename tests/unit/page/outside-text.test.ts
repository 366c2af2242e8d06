import { csvParse } from 'd3-dsv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changesCsv } from '../../../shared-lib/page/csv.ts';
import type { PageInput } from '../../../shared-lib/page/page-input.ts';
import { renderPage } from '../../../shared-lib/page/page.ts';
import { hostileText } from '../../hostile-text.ts';
import { benchPressPage } from './fixture.ts';

/** Where a page holds what a person wrote or a clip says of itself. */
const fromOutside =
  /(^|\.)(clip|file|container|codec|transfer|text|heading|lifter|sentence|why|(notes|advice|body)\.\d+)$/;

/** A page's input with every text from outside replaced. */
function withText(input: PageInput, text: string): PageInput {
  const put = (value: unknown, at: string): unknown => {
    if (typeof value === 'string') return fromOutside.test(at) ? text : value;
    if (Array.isArray(value)) return value.map((each, i) => put(each, `${at}.${i}`));
    if (value === null || typeof value !== 'object' || ArrayBuffer.isView(value)) return value;
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, put(each, `${at}.${key}`)]));
  };
  return put(input, '') as PageInput;
}

/** The elements of a page in order, each with the names of its attributes; line breaks of a text left out. */
const structure = (page: string): string[] =>
  [...page.matchAll(/<(\/?[a-z!][\w!-]*)((?:[^>"]|"[^"]*")*)>/gi)]
    .map(([, name, rest]) => [name, ...[...rest.matchAll(/([\w:-]+)="/g)].map((match) => match[1])].join(' '))
    .filter((element) => element !== 'br');

const addresses = (page: string): string[] =>
  [...page.matchAll(/(?:href|src)="([^"]*)"/g)].map((match) => match[1]);

describe('text from outside on the page', () => {
  const input = benchPressPage();
  const plain = renderPage(withText(input, 'a'));
  it('is text wherever it stands: no element, attribute or address is there because of it', () => {
    expect(renderPage(input).split('bench-practice-90.mp4').length).toBeGreaterThan(2);
    fc.assert(
      fc.property(hostileText(), (text) => {
        // A letter first: text that is nothing but spaces leaves its element out.
        const page = renderPage(withText(input, `a${text}`));
        expect(structure(page)).toEqual(structure(plain));
        expect(addresses(page)).toEqual(addresses(plain));
      }),
      { numRuns: 60 },
    );
  });
});

describe('text in a table', () => {
  const change = { ...benchPressPage().pair.changes[0], change: -0.44 };

  it('begins no formula, whatever it is, and numbers stay numbers', () => {
    fc.assert(
      fc.property(hostileText(), (why) => {
        const rows = csvParse(changesCsv([{ ...change, why }]));
        expect(rows).toHaveLength(1);
        expect(rows[0].why).not.toMatch(/^[=+\-@\t\r]/);
        expect(rows[0].why.replace(/^'/, '')).toBe(why.replace(/^'/, ''));
        expect(Number(rows[0].change)).toBe(-0.44);
      }),
    );
  });
});
