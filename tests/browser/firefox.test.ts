/**
 * The main paths in Firefox, where it is installed (FIREFOX names another than /usr/bin/firefox-esr).
 */
import { existsSync } from 'node:fs';
import puppeteer, { type Browser, type Page } from 'puppeteer-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

const EXECUTABLE = process.env.FIREFOX ?? '/usr/bin/firefox-esr';
const DISK = new URL('../../docs/site/bench/index.html', import.meta.url).href;

describe.skipIf(!existsSync(EXECUTABLE))('in Firefox', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await puppeteer.launch({ browser: 'firefox', executablePath: EXECUTABLE, headless: true });
  });
  afterAll(() => browser.close());

  async function open(url: string): Promise<{ page: Page; complaints: string[] }> {
    const page = await browser.newPage();
    const complaints: string[] = [];
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(url);
    await page.waitForSelector('nav');
    return { page, complaints };
  }

  /** Waits for a text in the view that is shown; by asking again, for the page forbids code made from text. */
  async function says(page: Page, text: string, timeout = 30_000): Promise<void> {
    const until = Date.now() + timeout;
    for (;;) {
      const shown = await page.evaluate(
        () => document.querySelector<HTMLElement>('.view:not([hidden])')?.innerText ?? '',
      );
      if (shown.includes(text)) return;
      if (Date.now() > until) throw new Error(`no “${text}” in: ${shown.slice(0, 2000)}`);
      await new Promise((resolve) => {
        setTimeout(resolve, 200);
      });
    }
  }

  async function goTo(page: Page, view: string): Promise<void> {
    await page.click(`nav a[href="#${view.toLowerCase()}"]`);
    await says(page, view);
  }

  it.each(['over http', 'from disk'])('an exchange, a recording and the log work, opened %s', async (way) => {
    const { page, complaints } = await open(way === 'from disk' ? DISK : inject('url'));
    await says(page, 'Ready: this goes out when you press Call.');
    await page.evaluate(() => {
      const between = [...document.querySelectorAll('summary')].find(
        ({ textContent }) => textContent === 'What lies between',
      );
      between?.click();
      [...document.querySelectorAll('label.tick')]
        .find(({ textContent }) => textContent === 'Let me hear it')
        ?.querySelector('input')
        ?.click();
    });
    await page.locator('button.big').click();
    await says(page, 'Listening for the acknowledgement');
    await says(page, 'Acknowledged', 60_000);
    await goTo(page, 'Listen');
    const input = await page.waitForSelector('.drop input');
    await input?.uploadFile(wavFile('firefox.wav', [scene([TEST_CALL, ALERT], 'vhf', 0.5)]));
    await says(page, 'firefox.wav: 2 calls in 2 s.');
    await goTo(page, 'Compose');
    await says(page, '6.40 s on the air: 20 dots and 62 slots');
    await goTo(page, 'Log');
    await says(page, '4 entries');
    expect(complaints).toEqual([]);
    await page.close();
  });
});
