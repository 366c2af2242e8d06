import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderPage } from '../../../shared-lib/page/page.ts';
import { browserPath, launchBrowser } from '../../e2e/browser.ts';
import { contrast } from './contrast.ts';
import { nothingCoached } from '../../../shared-lib/contract/coaching.ts';
import { letterOf } from '../../../shared-lib/hand-back/letter.ts';
import { writtenSections } from '../../../shared-lib/hand-back/written.ts';
import { benchPressPage, onePixelJpeg } from './fixture.ts';

/** Runs in the page: every stretch of text with its colour and the ground it stands on. */
const textOnGround = `(() => {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode.textContent.trim();
    const own = walk.currentNode.parentElement;
    if (text === '' || own.closest('title, desc, details:not([open]) > ul') || own.getClientRects().length === 0) continue;
    const inSvg = own.closest('svg') !== null;
    // A word in a drive block stands on the block, every other word of a chart on the page.
    const block = own.classList.contains('block-word') ? own.previousElementSibling : null;
    const filled = block && getComputedStyle(block).fill;
    let ground = filled && filled !== 'none' ? filled : null;
    for (let e = own; !ground && e; e = e.parentElement) {
      const colour = getComputedStyle(e).backgroundColor;
      if (!colour.endsWith(', 0)')) ground = colour;
    }
    found.push({ text, colour: getComputedStyle(own)[inSvg ? 'fill' : 'color'], ground: ground ?? 'rgb(255, 255, 255)' });
  }
  return found;
})()`;

describe.skipIf(browserPath === null)('the page in a browser', () => {
  const folder = mkdtempSync(join(tmpdir(), 'lockstep-page-'));
  const file = join(folder, 'page.html');
  let browser: Browser | undefined;

  beforeAll(async () => {
    writeFileSync(file, renderPage(benchPressPage()));
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true });
  });

  async function open(width: number, colorScheme: 'light' | 'dark'): Promise<{ page: Page; complaints: string[]; requests: string[] }> {
    if (!browser) throw new Error('The browser did not start.');
    const page = await browser.newPage({ viewport: { width, height: 800 }, colorScheme });
    const complaints: string[] = [];
    const requests: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('request', (request) => requests.push(request.url().slice(0, 40)));
    await page.goto(pathToFileURL(file).href);
    return { page, complaints, requests };
  } // prettier-ignore

  it.each([
    [360, 'light'],
    [390, 'dark'],
    [1440, 'light'],
  ] as const)(
    'fits a screen %i px wide, loads nothing and is refused nothing (%s)',
    async (width, scheme) => {
      const { page, complaints, requests } = await open(width, scheme);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width);
      expect(complaints).toEqual([]);
      expect(requests.filter((url) => !url.startsWith('data:image/jpeg'))).toEqual([pathToFileURL(file).href.slice(0, 40)]); // prettier-ignore
      // The style sheet was let in: the policy's hash is right.
      expect(await page.evaluate('getComputedStyle(document.querySelector(".reps")).display')).toBe('grid');
      await page.close();
    },
  );

  it.each(['light', 'dark'] as const)('shows every word at 4.5 to 1 or better (%s)', async (scheme) => {
    const { page } = await open(900, scheme);
    const texts = await page.evaluate<{ text: string; colour: string; ground: string }[]>(textOnGround);
    expect(texts.length).toBeGreaterThan(250);
    const faint = texts.filter((t) => contrast(t.colour, t.ground) < 4.5);
    expect(faint).toEqual([]);
    await page.close();
  });

  it('grows its charts with the reader’s text size', async () => {
    const { page } = await open(1440, 'light');
    const width = 'document.querySelector(".strip").getBoundingClientRect().width';
    const before = await page.evaluate<number>(width);
    await page.evaluate('document.documentElement.style.fontSize = "20px"');
    expect((await page.evaluate<number>(width)) / before).toBeCloseTo(1.25, 2);
    await page.close();
  });

  it('draws the bar paths with equal aspect on the screen', async () => {
    const { page } = await open(390, 'light');
    const box = await page.evaluate<{ w: number; h: number; view: number[] }>(`(() => {
      const chart = document.querySelector('.path-chart');
      const { width, height } = chart.getBoundingClientRect();
      return { w: width, h: height, view: chart.getAttribute('viewBox').split(' ').map(Number) };
    })()`);
    expect(box.w / box.view[2]).toBeCloseTo(box.h / box.view[3], 2);
    await page.close();
  });

  it('prints on two sheets also where there is as much to say as there can be', async () => {
    const base = benchPressPage({ jpeg: () => onePixelJpeg, widthPx: 720, heightPx: 405 });
    const words =
      'Take two full seconds to the chest, feel the shoulder blades stay together the whole way, and wait for the bar to be still before you push it back over your shoulders.';
    const measures = ['descent_s', 'drift_bottom_m', 'pause_s'] as const;
    const cues = measures.map((measure, i) => ({
      id: `n${i + 1}`,
      text: words,
      aim: { kind: 'measure' as const, measure, wanted: 'more' as const },
      moment: { side: 'today' as const, tS: 2.4 },
    }));
    const figure = { value: 0.1, lo95: 0.09, hi95: 0.11, u95: 0.01, unit: 'm' };
    const parts = letterOf({
      ...base,
      said: {
        asked: `Why does it stall half way up? ${words}`,
        coaching: {
          ...nothingCoached,
          cues,
          pain: 'left shoulder',
          tooHeavyToLearn: true,
          competition: '2026-12-12',
        },
      },
      earlier: (['took', 'not yet', 'cannot tell', 'not yet'] as const).map((call, i) => ({
        review: `r${i}`,
        cue: 'n1',
        givenAt: '2026-03-01T10:00:00Z',
        text: 'Touch a hand’s breadth higher and keep the elbows under the bar all the way',
        main: true,
        aim: { kind: 'measure', measure: 'drift_bottom_m', wanted: 'less' },
        about: 'drift at touch',
        before: figure,
        now: figure,
        call,
        why: '',
      })),
      notComparable: ['It was paused and today’s is touch-and-go.'],
    });
    const full = renderPage({
      ...base,
      letter: writtenSections(parts, { word: words }),
      cueStills: cues.map(({ id }) => ({ ...base.cueStills[0], cue: id })),
      recordOpen: false,
    });
    const page = await browser!.newPage();
    await page.setContent(full);
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)!.length).toBeLessThanOrEqual(2);
    await page.close();
  });
});
