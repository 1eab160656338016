import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { guidePicture } from './guidepictures.js';
import { launch, openBench } from './page.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

const pictured = (page: Page, name: string, part?: string) =>
  guidePicture(page, `demonstrating/${name}`, part);

it('goes as the guide says, from a page opened from disk to the acknowledged test call and its log', async () => {
  const local = new URL('../../docs/site/bench/index.html', import.meta.url);
  const { page, complaints } = await openBench(browser, local.href);
  await page.setViewportSize({ width: 1120, height: 760 });
  await page.getByText('Ready: this goes out when you press Call.').waitFor();
  await pictured(page, 'ready', '.exchange');
  await page.getByText('What lies between').click();
  await page.getByLabel('Let me hear it').uncheck();
  await page.getByText('What lies between').click();
  await page.getByRole('button', { name: 'Call', exact: true }).click();
  await page.getByText(/^4\.\d s of 6\.4 s/).waitFor();
  await pictured(page, 'on-the-air', '.exchange .result');
  await page.getByText(/Listening for the acknowledgement: 4 s of 60 s/).waitFor({ timeout: 20_000 });
  await pictured(page, 'listening', '.exchange .result');
  await page.getByText('A call comes in').waitFor({ timeout: 20_000 });
  await page.waitForTimeout(3000);
  await pictured(page, 'coming-in', '.exchange .result');
  await page.locator('.phase', { hasText: 'Acknowledged' }).waitFor({ timeout: 30_000 });
  await pictured(page, 'acknowledged', '.exchange .result');
  await page.locator('h1:visible').click();
  await page.keyboard.press('w');
  await page.locator('.wall .lane-1 .air-time').waitFor();
  await pictured(page, 'wall', '.wall');
  await page.keyboard.press('w');
  await page.getByRole('link', { name: 'Log' }).click();
  await page.getByText('2 entries').waitFor();
  await pictured(page, 'log', '.view:not([hidden])');
  expect(complaints).toEqual([]);
});
