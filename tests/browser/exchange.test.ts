import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench, openIn, type Bench } from './page.js';
import { judge } from './pictures.js';
import { wired, type WireOptions } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

async function open(): Promise<Bench> {
  const bench = await openBench(browser, inject('url'));
  await goTo(bench.page, 'Exchange');
  return bench;
}

async function silently(page: Page): Promise<void> {
  await page.getByText('What lies between').click();
  await page.getByLabel('Let me hear it').uncheck();
}

const callButton = (page: Page) => page.getByRole('button', { name: 'Call', exact: true });
const phase = (page: Page, text: string) => page.locator('.phase', { hasText: text });

async function onVhf(page: Page): Promise<void> {
  await page.getByLabel('DSC frequency', { exact: true }).selectOption('156525000');
}

async function logged(page: Page, count: number): Promise<void> {
  await goTo(page, 'Log');
  await page.getByText(`${count} ${count === 1 ? 'entry' : 'entries'}`).waitFor();
}

describe('an exchange with a virtual station', () => {
  it('goes from one button to the acknowledgement, explained and logged', async () => {
    const { page, complaints } = await open();
    await silently(page);
    await judge(page, 'exchange-first');
    await page.getByLabel('DSC frequency', { exact: true }).selectOption('2187500');
    await callButton(page).click();
    await page.getByText('On the air').first().waitFor();
    // 20 dots and 62 slots at 100 Bd are 6.4 s (M.493 §3, from memory).
    await page.getByText(/of 6\.4 s/).waitFor();
    await page.waitForTimeout(2500);
    await judge(page, 'exchange-sending');
    await phase(page, 'Listening for the acknowledgement').waitFor();
    await page.getByText(/ of 60 s/).waitFor();
    await page.getByText('A call comes in').waitFor({ timeout: 30_000 });
    await page.waitForTimeout(2500);
    await judge(page, 'exchange-receiving');
    await phase(page, 'Acknowledged').waitFor({ timeout: 30_000 });
    const heard = await page.locator('.came .sentence').innerText();
    expect(heard).toContain('Test acknowledgement from Halcyon Bank Radio (00 299 1234)');
    await judge(page, 'exchange-acknowledged');
    await logged(page, 2);
    expect(complaints).toEqual([]);
  });

  it('has Call in the first screen, and covers no field with it wherever the page rests', async () => {
    const { page } = await open();
    await page.getByLabel('Call', { exact: true }).selectOption('distressRelay');
    for (const [width, height] of [
      [1280, 800],
      [390, 844],
      [1920, 1080],
    ]) {
      await page.setViewportSize({ width, height });
      await page.evaluate(() => {
        scrollTo(0, 0);
      });
      const { y = 0, height: tall = 0 } = (await callButton(page).boundingBox()) ?? {};
      expect(y, `${width}: Call stands in the screen`).toBeGreaterThan(0);
      expect(y + tall, `${width}: Call stands in the screen`).toBeLessThan(height);
      const covered = await page.evaluate(() => {
        const found: string[] = [];
        const bar = document.querySelector('.call-actions');
        if (!bar) return ['no bar'];
        for (let top = 0; top < document.documentElement.scrollHeight; top += 40) {
          scrollTo(0, top);
          const over = bar.getBoundingClientRect();
          for (const field of document.querySelectorAll('.exchange .sheet :is(select, input)')) {
            const under = field.getBoundingClientRect();
            if (under.height > 0 && under.top < over.bottom && under.bottom > over.top) {
              found.push(`${field.parentElement?.textContent} at ${top}`);
            }
          }
        }
        return found;
      });
      expect(covered, `at ${width}`).toEqual([]);
    }
  });

  it('waits 60 s for a silent station, calls again and is acknowledged', async () => {
    const { page, complaints } = await open();
    await silently(page);
    await onVhf(page);
    await page.getByText('Address book and own identities').click();
    const conduct = page.getByLabel('Halcyon Bank Radio, as a virtual station,');
    await conduct.selectOption('silent');
    const began = Date.now();
    await callButton(page).click();
    await phase(page, 'No acknowledgement').waitFor({ timeout: 75_000 });
    // Common practice, no source: about 60 s are allowed for the acknowledgement. The call takes half a second.
    expect(Date.now() - began).toBeGreaterThan(60_000);
    await judge(page, 'exchange-unanswered');
    await conduct.selectOption('answers');
    await page.getByRole('button', { name: 'Call again' }).click();
    await phase(page, 'Acknowledged').waitFor({ timeout: 30_000 });
    await logged(page, 3);
    expect(complaints).toEqual([]);
  });

  it('shows a refusal with its reason, and an acknowledgement read at −5 dB', async () => {
    const { page, complaints } = await open();
    await silently(page);
    await page.getByLabel('Signal to noise in 3 kHz').fill('-5');
    await page.getByLabel('Call', { exact: true }).selectOption('routineCall');
    await page.getByLabel('To', { exact: true }).selectOption('299456789');
    await page.getByText('Address book and own identities').click();
    await page.getByLabel('Sea Holly, as a virtual station,').selectOption('refusesBusy');
    await page.getByLabel('Seconds until Sea Holly answers').fill('1');
    await callButton(page).click();
    await page.getByText(/of 8\.2 s/).waitFor();
    await phase(page, 'Refused').waitFor({ timeout: 40_000 });
    expect(await page.locator('.came .sentence').innerText()).toMatch(/unable to comply.*busy/i);
    expect(await page.getByRole('button', { name: /^Call again in/ }).isDisabled()).toBe(true);
    await page.getByText('A ship may repeat a routine call').waitFor();
    expect(complaints).toEqual([]);
  });

  it('asks for a dummy load before distress sounds, and sends nothing where there is none', async () => {
    const { page, complaints } = await open();
    await page.getByLabel('Call', { exact: true }).selectOption('distressAlert');
    await onVhf(page);
    await page.getByText('Caution: distress audio').first().waitFor();
    await callButton(page).click();
    await page.getByRole('heading', { name: 'Is a dummy load or a cable connected?' }).waitFor();
    await judge(page, 'exchange-ask');
    await page.getByRole('button', { name: 'Send nothing' }).click();
    await page.waitForTimeout(500);
    expect(await page.locator('.moments').count()).toBe(0);
    await callButton(page).click();
    await page.getByRole('button', { name: 'It is: send' }).click();
    // Five calls of 540 bits at 1200 Bd are 2.25 s (JP567).
    await page.getByText(/of 2\.3 s/).waitFor();
    await page.getByText('5 times in a row').waitFor();
    await page.getByText('Caution: distress audio').first().waitFor();
    await page.getByText('Voice follows: ').first().waitFor();
    await phase(page, 'Acknowledged').waitFor({ timeout: 40_000 });
    await judge(page, 'exchange-distress');
    expect(complaints).toEqual([]);
  });
});

describe('pages on a cable', () => {
  async function pair(options: WireOptions = {}): Promise<{ ship: Bench; coast: Bench }> {
    const context = await browser.newContext();
    const [ship, coast] = [
      await openIn(await wired(context, options), inject('url')),
      await openIn(await wired(context, options), inject('url')),
    ];
    for (const { page } of [ship, coast]) {
      await goTo(page, 'Exchange');
      await page.getByLabel('A real set on the sound card').check();
    }
    return { ship, coast };
  }

  async function coastListens({ page }: Bench): Promise<void> {
    await page.getByLabel('This station').selectOption('other');
    await page.getByLabel('Own identity', { exact: true }).fill('00 299 1234');
    await page.getByRole('button', { name: 'Only listen' }).click();
    await page.getByText('The sound card is open').waitFor();
  }

  it('call and answer each other at −5 dB, and neither takes its own sound for another’s', async () => {
    // A signal of peak 0.05 has power 0.00125; white noise of 0.178 at 48 kHz has 0.00396 in 3 kHz: −5 dB.
    const { ship, coast } = await pair({ gain: 0.1, echo: 0.1, noise: 0.178 });
    await coastListens(coast);
    await callButton(ship.page).click();
    await phase(coast.page, 'The answer goes out').waitFor({ timeout: 60_000 });
    await ship.page.getByText('A call comes in').waitFor({ timeout: 20_000 });
    await phase(ship.page, 'Acknowledged').waitFor({ timeout: 60_000 });
    await phase(coast.page, 'Answered').waitFor();
    await coast.page.waitForTimeout(1500);
    await judge(coast.page, 'exchange-coast');
    for (const { page } of [ship, coast]) {
      const heard = await page.locator('.moments .other').allInnerTexts();
      expect(heard, heard.join('\n')).toHaveLength(1);
    }
    // Both write into the one log of their browser: each call sent and received.
    await logged(ship.page, 4);
    expect([...ship.complaints, ...coast.complaints]).toEqual([]);
  });

  it('propose another channel, and say why they stay silent', async () => {
    const { ship, coast } = await pair();
    await coast.page.getByText('When this station is called').click();
    await coast.page.getByLabel('To individual, safety and urgency calls').selectOption('propose');
    await coast.page.getByLabel('Channel to propose').fill('vhf 26');
    await coastListens(coast);
    await ship.page.getByLabel('Call', { exact: true }).selectOption('routineCall');
    await onVhf(ship.page);
    await callButton(ship.page).click();
    await phase(ship.page, 'Acknowledged').waitFor({ timeout: 60_000 });
    await ship.page
      .getByText(/Voice follows.*26/)
      .first()
      .waitFor();
    await ship.page.getByLabel('Call', { exact: true }).selectOption('testCall');
    await ship.page.getByLabel('To', { exact: true }).selectOption('299456789');
    await onVhf(ship.page);
    await callButton(ship.page).click();
    await coast.page.getByText('A call that is addressed to another station is not answered.').waitFor();
    expect([...ship.complaints, ...coast.complaints]).toEqual([]);
  });
});
