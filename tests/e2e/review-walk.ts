import type { Locator, Page } from 'playwright-core';

/** What a hand did up to a point of the review. */
export interface Deeds {
  /** Presses of a button of the mouse, a drop among them. */
  clicks: number;
  /** Letters typed, and the fields that they were typed into. */
  letters: number;
  fields: number;
  /** Words that had to be read before going on. */
  words: number;
}

export interface Walked {
  /** Up to the moment when the changes are on the screen. */
  toChanges: Deeds;
  /** Up to the moment when film and page are made. */
  whole: Deeds;
  /** What the machine took while the hand could not go on, seconds. */
  waitedS: Record<'bringing in' | 'comparing' | 'putting together' | 'making', number>;
  /** Where film and page lie. */
  folder: string;
}

/** Drops a file from the desk on a place, as a mouse does. */
async function drop(page: Page, place: Locator, file: string): Promise<void> {
  const box = (await place.boundingBox())!;
  const at = { x: box.x + box.width / 2, y: box.y + box.height / 4 };
  const session = await page.context().newCDPSession(page);
  for (const type of ['dragEnter', 'dragOver', 'drop'] as const)
    await session.send('Input.dispatchDragEvent', {
      type,
      ...at,
      data: { items: [], files: [file], dragOperationsMask: 1 },
    });
  await session.detach();
}

const wordsIn = (text: string): number => text.split(/\s+/).filter((word) => word !== '').length;

/**
 * Goes through a whole review as a practised hand does: two fresh clips dropped, loads and question typed, the changes read, a
 * cue given at the moment of the surest, the letter read and one line of it written over, film and page made.
 *
 * @param clips the reference's and today's, bench presses, with their loads
 */
export async function walkReview(
  page: Page,
  clips: readonly [{ file: string; kg: string }, { file: string; kg: string }],
): Promise<Walked> {
  const deeds: Deeds = { clicks: 0, letters: 0, fields: 0, words: 0 };
  const click = async (what: Locator): Promise<void> => {
    await what.click();
    deeds.clicks += 1;
  };
  const write = async (where: Locator, text: string): Promise<void> => {
    await click(where);
    await page.keyboard.press('Control+a');
    await page.keyboard.type(text);
    deeds.letters += text.length + 1;
    deeds.fields += 1;
  };
  const waitedS = { 'bringing in': 0, comparing: 0, 'putting together': 0, making: 0 };
  const wait = async (name: keyof Walked['waitedS'], until: () => Promise<unknown>): Promise<void> => {
    const begun = performance.now();
    await until();
    waitedS[name] += (performance.now() - begun) / 1000;
  };

  await click(page.getByRole('button', { name: 'New review' }));
  await click(page.locator('.choice', { hasText: 'Bench press' }));
  for (const [i, side] of ['Reference rep', 'Today’s rep'].entries()) {
    const card = page.getByRole('region', { name: side, exact: true });
    await drop(page, card.locator('.drop'), clips[i].file);
    deeds.clicks += 1;
    await wait('bringing in', () => card.getByLabel('Load on the bar, kg').waitFor({ timeout: 60_000 }));
    await write(card.getByLabel('Load on the bar, kg'), clips[i].kg);
  }
  await click(page.getByText('About the lifter and the question'));
  await write(page.getByLabel('What the lifter asks'), 'Why does it stall half way?');
  await click(page.getByRole('button', { name: 'Compare the two' }));
  await wait('comparing', () => page.locator('.change').first().waitFor({ timeout: 400_000 }));
  const toChanges = { ...deeds };

  const changes = page.locator('.changes .change');
  deeds.words += wordsIn((await changes.allInnerTexts()).join(' '));
  await click(changes.first());
  await click(page.getByRole('tab', { name: 'Cues', exact: true }));
  await write(page.getByLabel('Your words to the lifter'), 'Bring it down in a second and a half.');
  const aim = page.getByLabel('What shall become of what');
  // A list is opened and one of it chosen.
  await aim.selectOption('descent: shorter');
  deeds.clicks += 2;
  await click(page.getByRole('button', { name: /^Give this cue/ }));
  await click(page.getByRole('button', { name: 'Hand back', exact: true }));
  const letter = page.getByRole('region', { name: 'What is written to the lifter' });
  await wait('putting together', () => letter.getByRole('textbox').first().waitFor({ timeout: 120_000 }));
  const parts = letter.getByRole('textbox');
  const told = await Promise.all((await parts.all()).map((part) => part.inputValue()));
  // What always goes along a practised hand knows.
  deeds.words += wordsIn(told.join(' '));
  await write(parts.first(), 'A strong single; one thing to work on.');
  const make = page.getByRole('button', { name: 'Make the page and the film' });
  await click(make);
  await wait('making', () => page.getByRole('link', { name: 'page.html', exact: true }).waitFor({ timeout: 400_000 })); // prettier-ignore
  const folder = (await page.locator('.made-in').innerText()).trim();
  return { toChanges, whole: { ...deeds }, waitedS, folder };
}
