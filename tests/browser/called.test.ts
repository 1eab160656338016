import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench, type Bench } from './page.js';
import { judge, picture } from './pictures.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

/** The Exchange without a sound, set to be called by a virtual station. */
async function open(): Promise<Bench> {
  const bench = await openBench(browser, inject('url'));
  const { page } = bench;
  await goTo(page, 'Exchange');
  await page.getByText('What lies between').click();
  await page.getByLabel('Let me hear it').uncheck();
  await page.getByText('Receive a call from a virtual station').click();
  await page.getByText('When this station is called').click();
  return bench;
}

const phase = (page: Page, text: string) => page.locator('.phase', { hasText: text });
const receive = (page: Page) => page.getByRole('button', { name: 'Receive this call' }).click();

async function logged(page: Page, count: number): Promise<void> {
  await goTo(page, 'Log');
  await page.getByText(`${count} entries`).waitFor();
}

describe('a virtual station calls', () => {
  it('with a test call, which the person acknowledges', async () => {
    const { page, complaints } = await open();
    await page.getByLabel('Answer test calls').uncheck();
    await judge(page, 'called-form');
    await receive(page);
    await phase(page, 'Waits for an answer').waitFor({ timeout: 20_000 });
    expect(await page.locator('.stage .sentence').innerText()).toContain(
      'Test call from Sea Holly (299 456 789)',
    );
    await judge(page, 'called-open');
    await page.getByRole('button', { name: 'Acknowledge: able to comply' }).click();
    await phase(page, 'Answered').waitFor({ timeout: 20_000 });
    await logged(page, 2);
    expect(complaints).toEqual([]);
  });

  it('with a call that the person refuses, and another one that proposes a channel', async () => {
    const { page, complaints } = await open();
    await page.getByLabel('Calls with').selectOption('routineCall');
    await receive(page);
    await phase(page, 'Waits for an answer').waitFor({ timeout: 20_000 });
    await page.getByLabel('Unable because').selectOption('noOperator');
    await page.getByRole('button', { name: 'Acknowledge: unable to comply' }).click();
    await phase(page, 'Answered').waitFor({ timeout: 20_000 });
    expect(await page.locator('.moments .own').innerText()).toMatch(/unable to comply.*no operator/i);
    expect(complaints).toEqual([]);
  });

  it('all ships with urgency on VHF, and the area around with safety on MF: it is heard and not answered', async () => {
    const { page, complaints } = await open();
    await page.getByLabel('Calls with').selectOption('urgencyCall');
    await page.getByLabel('All ships').last().check();
    await judge(page, 'called-many-form');
    await receive(page);
    const heard = page.locator('.moments .other', { hasText: 'Heard on 156.525 MHz' });
    await heard
      .getByText('Urgency call from Sea Holly (299 456 789) to all ships')
      .waitFor({ timeout: 20_000 });
    await heard.getByText('Not answered by DSC.').waitFor();
    await phase(page, 'Heard: a call to many').waitFor();
    expect(await page.locator('.stage .voice').innerText()).toContain('156.800 MHz');
    await judge(page, 'called-many');
    await page.locator('h1:visible').click();
    await page.keyboard.press('w');
    await page.locator('.wall.urgency .lane-1 .air-time').waitFor();
    expect(await page.locator('.wall-phase').innerText()).toContain('156.800 MHz');
    await page.setViewportSize({ width: 1280, height: 720 });
    await picture(page, 'wall-announced', false);
    await page.keyboard.press('w');
    await page.getByLabel('Calls with').selectOption('safetyCall');
    await page.getByLabel('Calls on').selectOption('2187500');
    expect(await page.getByLabel('Everyone in the area around').isChecked()).toBe(true);
    await receive(page);
    const onMf = page.locator('.moments .other', { hasText: 'Heard on 2187.5 kHz' });
    await onMf
      .getByText(/^Safety call from Sea Holly \(299 456 789\) to .*area/)
      .waitFor({ timeout: 20_000 });
    await onMf.getByText('Not answered by DSC.').waitFor();
    expect(await page.locator('.moments .own').count()).toBe(0);
    await logged(page, 2);
    expect(complaints).toEqual([]);
  });

  it('and is not heard where it is out of range', async () => {
    const { page } = await open();
    await page.getByText('Address book and own identities').click();
    await page.getByLabel('Nautical miles to Sea Holly').fill('400');
    await page.getByLabel('Nautical miles to Sea Holly').blur();
    await page.getByText('Sea Holly is out of range there').waitFor();
    expect(await page.getByRole('button', { name: 'Receive this call' }).isDisabled()).toBe(true);
  });

  it('in distress, which the page relays to a coast station until that acknowledges', async () => {
    const { page, complaints } = await open();
    await page.getByText('Address book and own identities').click();
    const coast = page.getByLabel('Halcyon Bank Radio, as a virtual station,');
    await coast.selectOption('outOfRange');
    await page.getByLabel('Seconds until Halcyon Bank Radio answers').fill('1');
    await page.getByLabel('Calls with').selectOption('distressAlert');
    await receive(page);
    await phase(page, 'Nobody has acknowledged it by DSC').waitFor({ timeout: 30_000 });
    expect(await page.locator('.stage .sentence').innerText()).toContain('Distress alert from Sea Holly');
    const to = page.getByLabel('Relay to');
    expect(await to.locator('option').allInnerTexts()).toEqual([
      'Halcyon Bank Radio (00 299 1234)',
      'all ships',
    ]);
    // An alert of one frequency is five calls in a row (M541-8 Annex 1 §3.1.3.1): one line tells of them.
    await page.getByText('Heard on 156.525 MHz, clean, 5 sendings of one attempt').waitFor();
    await judge(page, 'called-distress');
    await coast.selectOption('answers');
    await page.getByRole('button', { name: /^Relay the alert/ }).click();
    await page.getByRole('heading', { name: 'Can the casualty not alert by itself?' }).waitFor();
    await page.getByRole('button', { name: 'So it is: relay' }).click();
    await page.locator('.moments .own', { hasText: 'Distress relay' }).waitFor();
    await page.locator('.phase').getByText('Acknowledged', { exact: true }).waitFor({ timeout: 60_000 });
    expect(await page.locator('.came .sentence').first().innerText()).toContain(
      'Acknowledgement of a distress relay, from Halcyon Bank Radio (00 299 1234) to Grey Petrel (299 123 456)',
    );
    await judge(page, 'called-relayed');
    expect(complaints).toEqual([]);
  });

  it('in distress on MF, which the page relays to an area that is typed', async () => {
    const { page, complaints } = await open();
    await page.getByText('Address book and own identities').click();
    await page.getByLabel('Halcyon Bank Radio, as a virtual station,').selectOption('outOfRange');
    await page.getByLabel('Calls with').selectOption('distressAlert');
    await page.getByLabel('Calls on').selectOption('2187500');
    await receive(page);
    await phase(page, 'Nobody has acknowledged it by DSC').waitFor({ timeout: 60_000 });
    // A relay waits until the frequency is free: the attempt is five calls of 7.2 s.
    await page
      .getByText('Heard on 2187.5 kHz, clean, 5 sendings of one attempt')
      .waitFor({ timeout: 60_000 });
    const relay = page.getByRole('button', { name: /^Relay the alert/ });
    await page.getByLabel('Relay to').selectOption('another area…');
    // Around the casualty at 45° N, 30° W, as it is offered: 3° to the north and south.
    const north = page.locator('.choices').getByLabel('Latitude, degrees');
    expect(await north.inputValue()).toBe('49');
    await north.fill('91');
    await page.locator('.choices').getByText('Expected whole degrees from 0 to 90').waitFor();
    expect(await relay.isDisabled()).toBe(true);
    await north.fill('47');
    await page.locator('.choices').getByLabel('Longitude, degrees').fill('32');
    await page.locator('.choices').getByLabel('Degrees southwards').fill('4');
    await page.locator('.choices').getByLabel('Degrees eastwards').fill('5');
    await judge(page, 'called-relay-area');
    await relay.click();
    await page.getByRole('button', { name: 'So it is: relay' }).click();
    const sent = page.locator('.moments .own', { hasText: 'Distress relay' });
    await sent.waitFor({ timeout: 20_000 });
    expect(await sent.innerText()).toContain('to the area 4° southwards and 5° eastwards of 47°N 032°W');
    expect(complaints).toEqual([]);
  });
});

it('an alert goes out on all six frequencies of MF and HF, one call on each', async () => {
  const { page, complaints } = await open();
  await page.getByLabel('Call', { exact: true }).selectOption('distressAlert');
  await page.getByLabel('All six of MF and HF').check();
  await page.getByText('one call on each').waitFor();
  await page.getByRole('button', { name: 'Call', exact: true }).click();
  await phase(page, 'Listening for the acknowledgement').waitFor({ timeout: 80_000 });
  const sent = await page.locator('.moments .own b').allInnerTexts();
  // M.541 Annex 5, from memory; 720 bits at 100 Bd are 7.2 s (JP567).
  const frequencies = ['2187.5', '4207.5', '6312.0', '8414.5', '12577.0', '16804.5'];
  expect(sent.toSorted()).toEqual(frequencies.map((kHz) => `Sent on ${kHz} kHz, 7.2 s`).toSorted());
  await judge(page, 'exchange-six');
  expect(complaints).toEqual([]);
});
