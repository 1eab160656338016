import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench, openIn, type Bench } from './page.js';
import { wired } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

async function open(): Promise<Bench> {
  const bench = await openBench(browser, inject('url'));
  const { page } = bench;
  await goTo(page, 'Exchange');
  await page.getByText('What lies between').click();
  await page.getByLabel('Let me hear it').uncheck();
  await page.getByLabel('DSC frequency', { exact: true }).selectOption('2187500');
  return bench;
}

const callButton = (page: Page) => page.getByRole('button', { name: 'Call', exact: true });
const onTheAir = (page: Page) => page.getByText(/^[1-4]\.\d s of 6\.4 s/).waitFor();
const phase = (page: Page, text: string) => page.locator('.phase', { hasText: text });

describe('an exchange that is left', () => {
  it('by a reload while the call sounds: the log says that it was broken off, and the call stands there to be sent again', async () => {
    const { page, complaints } = await open();
    await callButton(page).click();
    await onTheAir(page);
    await page.reload();
    await page.getByText('Ready: this goes out when you press Call.').waitFor();
    await goTo(page, 'Log');
    await page.getByText('1 entry').waitFor();
    await page.getByText('stopped before its end').waitFor();
    expect(complaints).toEqual([]);
  });

  it('by closing its page while a real set hears it: the next page knows that it was broken off', async () => {
    const context = await browser.newContext();
    const { page } = await openIn(await wired(context), inject('url'));
    await goTo(page, 'Exchange');
    await page.getByLabel('A real set on the sound card').check();
    await page.getByLabel('DSC frequency', { exact: true }).selectOption('2187500');
    await callButton(page).click();
    await onTheAir(page);
    await page.close({ runBeforeUnload: true });
    const { page: next } = await openIn(await context.newPage(), inject('url'));
    await goTo(next, 'Log');
    await next.getByText('stopped before its end').waitFor();
  });

  it('for another view while it sounds goes on there', async () => {
    const { page, complaints } = await open();
    await callButton(page).click();
    await onTheAir(page);
    await goTo(page, 'Compose');
    await goTo(page, 'Listen');
    await goTo(page, 'Log');
    await page.getByText('2 entries').waitFor({ timeout: 40_000 });
    await goTo(page, 'Exchange');
    await phase(page, 'Acknowledged').waitFor();
    expect(complaints).toEqual([]);
  });

  it('by Stop ends there, and the next call goes out whole', async () => {
    const { page, complaints } = await open();
    await callButton(page).click();
    await onTheAir(page);
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByText('Broken off').first().waitFor();
    await callButton(page).click();
    await phase(page, 'Acknowledged').waitFor({ timeout: 40_000 });
    await goTo(page, 'Log');
    await page.getByText('3 entries').waitFor();
    expect(await page.getByText('stopped before its end').count()).toBe(1);
    expect(complaints).toEqual([]);
  });
});

it.each([
  ['', 1],
  [', also on a machine ten times slower', 10],
])('a double click on Call sends one call%s', async (_, slower) => {
  const { page, complaints } = await open();
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: slower });
  await callButton(page).dblclick({ delay: 120 });
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  await onTheAir(page);
  await phase(page, 'Listening for the acknowledgement').waitFor({ timeout: 20_000 });
  await page.waitForTimeout(1000);
  expect(await page.locator('.phase').count()).toBe(1);
  expect(await page.locator('.moments .own').count()).toBe(1);
  expect(complaints).toEqual([]);
});
