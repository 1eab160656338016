import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { build } from '../cli/dotphase.js';
import { answerer } from './answerer.js';
import { goTo, launch, openIn } from './page.js';
import { wired } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  build();
  browser = await launch();
});
afterAll(() => browser.close());

async function withAnswerer(args: readonly string[]) {
  const context = await browser.newContext();
  const { page, complaints } = await openIn(await wired(context), inject('url'));
  // A page without a microphone carries the sound to and from the program.
  const { page: other } = await openIn(await context.newPage(), inject('url'));
  const answers = await answerer(other, args);
  await page.bringToFront();
  await goTo(page, 'Exchange');
  await page.getByLabel('A real set on the sound card').check();
  await page.getByLabel('DSC frequency', { exact: true }).selectOption('156525000');
  return { page, complaints, answers };
}

it('a test call from the page is acknowledged by dotphase answer', async () => {
  const { page, complaints, answers } = await withAnswerer(['--as', '002991234', '--vhf', '--delay', '1']);
  await page.getByRole('button', { name: 'Call', exact: true }).click();
  await page.locator('.phase', { hasText: 'Acknowledged' }).waitFor({ timeout: 30_000 });
  expect(await page.locator('.came .sentence').innerText()).toContain('Halcyon Bank Radio (00 299 1234)');
  expect(await page.locator('.moments .other').count()).toBe(1);
  expect(answers.text()).toContain('Heard: Test call from ship 299 123 456');
  expect(answers.text()).toContain('Answers: Test acknowledgement');
  expect(await answers.stop()).toBe(130);
  expect(complaints).toEqual([]);
});

it('a refusal of dotphase answer stands on the page with its reason', async () => {
  const args = ['--as', '299456789', '--vhf', '--delay', '1', '--unable', 'busy'];
  const { page, complaints, answers } = await withAnswerer(args);
  await page.getByLabel('Call', { exact: true }).selectOption('routineCall');
  await page.getByLabel('To', { exact: true }).selectOption('299456789');
  await page.getByLabel('DSC frequency', { exact: true }).selectOption('156525000');
  await page.getByRole('button', { name: 'Call', exact: true }).click();
  await page.locator('.phase', { hasText: 'Refused' }).waitFor({ timeout: 30_000 });
  expect(await page.locator('.came .sentence').innerText()).toMatch(/unable to comply.*busy/i);
  await answers.stop();
  expect(complaints).toEqual([]);
});
