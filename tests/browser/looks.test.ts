import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { drop, goTo, launch, openBench, shown, wholeFile } from './page.js';
import { judge } from './pictures.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

let browser: Browser;
let recording: string;
beforeAll(async () => {
  recording = wavFile('looks.wav', [scene([TEST_CALL, ALERT], 'vhf', 0.5)]);
  browser = await launch();
});
afterAll(() => browser.close());

describe('every view is readable by everyone and fits the screen, by day on a desk and by night on a phone', () => {
  it('Compose', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Compose');
    await shown(page).getByLabel('What do you want to do?').selectOption('distressRelay');
    await shown(page).getByText('Say it more precisely').click();
    await shown(page).getByRole('button', { name: 'position' }).click();
    await judge(page, 'compose');
    await shown(page).getByLabel('Latitude, minutes').fill('75');
    await judge(page, 'compose-wrong');
    expect(complaints).toEqual([]);
  });

  it('Listen and Log', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await drop(page, recording);
    await wholeFile(page);
    await shown(page).locator('.heard-head').first().click();
    await judge(page, 'listen');
    await goTo(page, 'Log');
    await shown(page).getByText('2 entries').waitFor();
    await shown(page).locator('.entry summary').first().click();
    await judge(page, 'log');
    expect(complaints).toEqual([]);
  });
});
