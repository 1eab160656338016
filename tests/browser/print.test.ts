import type { Browser, Page } from 'playwright-core';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { drop, goTo, launch, openBench, shown, wholeFile } from './page.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

/** A4 without its margins of 14 mm, at 96 pixels an inch. */
const PRINTED = { width: Math.floor((182 / 25.4) * 96), height: 1016 };

/** Everything on the sheet lies within its width. */
async function fitsA4(page: Page, name: string): Promise<void> {
  await page.setViewportSize(PRINTED);
  await page.emulateMedia({ media: 'print' });
  const beyond = await page.evaluate(
    (width) =>
      [...document.querySelectorAll('.view:not([hidden]) *')]
        .filter((element) => !element.closest('details:not([open]) > :not(summary), [role=status].hidden'))
        .filter((element) => {
          const { right, width: own } = element.getBoundingClientRect();
          return own > 0 && right > width + 1;
        })
        .map((element) => `${element.tagName}.${element.getAttribute('class') ?? ''}`),
    PRINTED.width,
  );
  expect(beyond, name).toEqual([]);
  const folder = process.env.BENCH_PICTURES;
  if (folder !== undefined) {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, `print-${name}.pdf`), await page.pdf({ preferCSSPageSize: true }));
    await page.screenshot({ path: join(folder, `print-${name}.png`), fullPage: true });
  }
}

describe('on A4', () => {
  it('a call prints whole', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Compose');
    await shown(page).getByLabel('What do you want to do?').selectOption('distressRelay');
    await fitsA4(page, 'call');
    const strip = await shown(page).locator('.strip svg').boundingBox();
    expect((strip?.x ?? 0) + (strip?.width ?? Infinity)).toBeLessThanOrEqual(PRINTED.width + 1);
  });

  it('what was heard and the log print whole', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await drop(page, wavFile('print.wav', [scene([TEST_CALL, ALERT], 'vhf', 0.5)]));
    await wholeFile(page);
    await page.locator('.heard-head').first().click();
    await fitsA4(page, 'listen');
    await page.emulateMedia({ media: 'screen' });
    await goTo(page, 'Log');
    await page.getByText('2 entries').waitFor();
    await fitsA4(page, 'log');
  });

  it('an exchange prints whole', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Exchange');
    await page.getByText('What lies between').click();
    await page.getByLabel('Let me hear it').uncheck();
    await page.getByLabel('DSC frequency', { exact: true }).selectOption('156525000');
    await page.getByRole('button', { name: 'Call', exact: true }).click();
    await page.locator('.phase', { hasText: 'Acknowledged' }).waitFor({ timeout: 40_000 });
    await fitsA4(page, 'exchange');
  });
});
