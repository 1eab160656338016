import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench, shown } from './page.js';
import { picture } from './pictures.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

/** What is on the wall is large enough, and all of it is on the screen. */
async function readable(page: Page): Promise<void> {
  const measured = await page.locator('.wall').evaluate((wall) => {
    const body = wall.querySelector('.wall-body');
    const sizes = [...wall.querySelectorAll('.slot, .wall-phase, .lane-name, .wall-caution, .lane-axis span')]
      .filter((element) => element.textContent !== '')
      .map((element) => parseFloat(getComputedStyle(element).fontSize));
    return {
      smallest: Math.min(...sizes),
      hidden: body ? body.scrollHeight - body.clientHeight : NaN,
      wide: body ? body.scrollWidth - body.clientWidth : NaN,
    };
  });
  expect(measured.smallest).toBeGreaterThanOrEqual(24);
  expect(measured.hidden).toBeLessThanOrEqual(1);
  expect(measured.wide).toBeLessThanOrEqual(1);
}

describe('the wall', () => {
  it('shows a whole exchange at 1280 × 720, with nothing smaller than 24 px, and goes away by its key', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await page.setViewportSize({ width: 1280, height: 720 });
    await goTo(page, 'Exchange');
    await page.getByText('What lies between').click();
    await page.getByLabel('Let me hear it').uncheck();
    await page.getByRole('button', { name: 'Call', exact: true }).click();
    await page.getByText('Listening for the acknowledgement').first().waitFor({ timeout: 20_000 });
    await page.locator('h1:visible').click();
    await page.keyboard.press('w');
    await page.locator('.wall').waitFor();
    await readable(page);
    await picture(page, 'wall-waiting', false);
    await page.locator('.wall .lane-1 .air-time').waitFor({ timeout: 40_000 });
    await readable(page);
    await picture(page, 'wall-acknowledged', false);
    await page.emulateMedia({ colorScheme: 'dark' });
    await picture(page, 'wall-acknowledged-dark', false);
    await page.keyboard.press('w');
    await page.locator('.wall').waitFor({ state: 'detached' });
    expect(complaints).toEqual([]);
  });

  it('shows a composed alert with its caution', async () => {
    const { page } = await openBench(browser, inject('url'));
    await page.setViewportSize({ width: 1280, height: 720 });
    await goTo(page, 'Compose');
    await shown(page).getByLabel('What do you want to do?').selectOption('distressAlert');
    await shown(page).getByRole('button', { name: /^Wall/ }).click();
    await page.locator('.wall').getByText('Distress: for training').waitFor();
    await readable(page);
    await picture(page, 'wall-compose', false);
    await page.setViewportSize({ width: 1920, height: 1080 });
    await readable(page);
    await picture(page, 'wall-compose-1920', false);
    await page.keyboard.press('Escape');
    await page.locator('.wall').waitFor({ state: 'detached' });
  });
});
