import type { Page } from 'playwright-core';

/** A screen of the program and how to come to it from any other. */
export interface Screen {
  name: string;
  show: (page: Page) => Promise<void>;
}

const measuredMs = 900_000;
const toReviews = async (page: Page): Promise<void> => {
  await page.keyboard.press('Escape');
  const back = page.getByRole('button', { name: '‹ Reviews' });
  if (await back.isVisible()) await back.click();
  await page.getByRole('heading', { name: 'Reviews' }).waitFor();
};
const toDemo = async (page: Page): Promise<void> => {
  if (await page.getByLabel('Name of the review').isVisible()) {
    const title = await page.getByLabel('Name of the review').inputValue();
    if (title === 'Demo: practice rep and heavy single') return;
  }
  await toReviews(page);
  await page.getByText('Demo: practice rep and heavy single').click();
  await page.getByRole('navigation', { name: 'Steps' }).waitFor();
};
const step = (name: string, ready: (page: Page) => Promise<unknown>): Screen => ({
  name: name.toLowerCase().replace(' ', '-'),
  show: async (page) => {
    await toDemo(page);
    await page.getByRole('button', { name, exact: true }).first().click();
    await ready(page);
  },
});
const lineUp = async (page: Page): Promise<void> => {
  await page.locator('.line-up').waitFor({ timeout: measuredMs });
  await page.locator('canvas[data-frame]').nth(1).waitFor({ timeout: 60_000 });
};
const tab = (name: string): Screen => ({
  name: `line-up-${name.toLowerCase().replace(' ', '-')}`,
  show: async (page) => {
    await toDemo(page);
    await page.getByRole('button', { name: 'Line up', exact: true }).first().click();
    await lineUp(page);
    await page.getByRole('tab', { name, exact: true }).click();
    await page.waitForTimeout(2500);
  },
});

export const screens: readonly Screen[] = [
  { name: 'reviews', show: toReviews },
  {
    name: 'bring-in-empty',
    show: async (page) => {
      await toReviews(page);
      await page.getByRole('button', { name: 'New review' }).click();
      await page.getByText('Drop a clip here').first().waitFor();
    },
  },
  step('Line up', lineUp),
  step('Bring in', (page) => page.locator('.clip-picture').nth(1).waitFor()),
  step('Set up', (page) => page.locator('.clip-figure .middle').nth(1).waitFor({ timeout: measuredMs })),
  step('Follow', (page) => page.locator('td[data-measure]').first().waitFor({ timeout: measuredMs })),
  step('Hand back', (page) => page.getByRole('heading', { name: 'Hand back' }).waitFor()),
  ...['Seen', 'Cues', 'Usual', 'Wished path'].map(tab),
  {
    name: 'keys',
    show: async (page) => {
      await toDemo(page);
      await page.getByRole('button', { name: 'Line up', exact: true }).first().click();
      await lineUp(page);
      await page.keyboard.press('?');
      await page.getByRole('dialog').waitFor();
    },
  },
  {
    name: 'lifters',
    show: async (page) => {
      await toReviews(page);
      await page.getByRole('button', { name: 'Lifters' }).click();
      await page.getByText('Rowan Teale').waitFor();
    },
  },
  {
    name: 'lifter',
    show: async (page) => {
      await page.getByText('Rowan Teale').first().click();
      await page.locator('.stories > li').first().waitFor({ timeout: measuredMs });
    },
  },
];
