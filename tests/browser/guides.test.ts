/**
 * Views of the bench as the guides tell of them, and their pictures.
 */
import { madeUpAudio } from '../measure/madeupset.js';
import { encodeCall } from 'dotphase';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { guidePicture } from './guidepictures.js';
import { drop, goTo, launch, openBench, shown, wholeFile } from './page.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

const VIEWPORT = { width: 1120, height: 760 };
/** So much of a view is shown in a guide, pixels. */
const TALLEST = 940;

async function openAt(view: Parameters<typeof goTo>[1]): Promise<Page> {
  const { page } = await openBench(browser, inject('url'), { viewport: VIEWPORT });
  await goTo(page, view);
  return page;
}

const pictured = (page: Page, name: string, tallest = TALLEST) =>
  guidePicture(page, `pictures/${name}`, '.view:not([hidden])', tallest);

describe('as the guides say', () => {
  it('a dropped recording shows its calls, and each call how its characters were read', async () => {
    const page = await openAt('Listen');
    await drop(page, wavFile('evening.wav', [scene([TEST_CALL, ALERT], 'vhf', 0.5)]));
    await wholeFile(page);
    await shown(page).locator('.heard-head').first().click();
    await shown(page).getByRole('table').first().waitFor();
    await pictured(page, 'listen', 1500);
  });

  it('a call is composed field by field, with what is wrong and the strip of its characters', async () => {
    const page = await openAt('Compose');
    await shown(page).getByLabel('What do you want to do?').selectOption('distressAlert');
    await shown(page).locator('.strip').first().waitFor();
    await pictured(page, 'compose');
  });

  it('a recording of a set gives its figures with limits and verdicts', async () => {
    const { symbols } = encodeCall(TEST_CALL);
    const audio = madeUpAudio(symbols, { dots: 20 }, { ratioDb: 30 });
    const page = await openAt('Measure');
    await drop(page, wavFile('set.wav', [audio], 12_000));
    await shown(page)
      .getByText(/measured in \d+ s\.$/)
      .waitFor();
    expect(await shown(page).locator('.figures tr').count()).toBeGreaterThan(5);
    await pictured(page, 'measure');
  });

  it('practice makes a call to listen to, with its questions', async () => {
    const page = await openAt('Practice');
    await shown(page).getByRole('button', { name: 'Make a call' }).click();
    await shown(page).getByRole('button', { name: 'Play' }).waitFor({ timeout: 60_000 });
    expect(await shown(page).getByRole('radio').count()).toBeGreaterThan(3);
    await pictured(page, 'practice');
  });
});
