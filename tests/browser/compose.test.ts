import { readFileSync } from 'node:fs';
import { receiveCalls } from 'dotphase';
import { readWav } from 'dotphase/wav';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { judge } from './pictures.js';
import { clipboard, drop, goTo, launch, openBench, saved, shown, wholeFile, type Bench } from './page.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

async function open(): Promise<Bench> {
  const bench = await openBench(browser, inject('url'), {
    permissions: ['clipboard-read', 'clipboard-write'],
  });
  await goTo(bench.page, 'Compose');
  return bench;
}

async function choose(page: Awaited<ReturnType<typeof open>>['page'], kind: string): Promise<void> {
  await shown(page).getByLabel('What do you want to do?').selectOption(kind);
}

describe('a composed call', () => {
  it('saved as a file and dropped on Listen is heard as the same call', async () => {
    const { page, complaints, requests } = await open();
    await choose(page, 'urgencyCall');
    await shown(page).getByRole('radio', { name: 'Everyone in an area' }).check();
    await shown(page).getByLabel('From: own identity').fill('299 987 654');
    await shown(page).getByLabel('Frequency, kHz').first().fill('6224');
    const sentence = await shown(page).locator('.sentence').innerText();
    expect(sentence).toContain(
      'Urgency call from ship 299 987 654 to the area 2° southwards and 4° eastwards',
    );
    await shown(page).getByRole('button', { name: 'Copy JSON' }).click();
    await shown(page).getByText('Copied.').waitFor();
    const composed: unknown = JSON.parse(await clipboard(page));
    const file = await saved(page, 'Save WAV');
    expect(file.name).toBe('urgencyCall.wav');

    const { sampleRate, channels } = readWav(file.bytes);
    expect(receiveCalls(channels[0], { sampleRate }).map(({ call }) => call)).toEqual([composed]);

    await goTo(page, 'Listen');
    await drop(page, file.path, file.name);
    await wholeFile(page);
    const heard = shown(page).locator('.heard-head');
    expect(await heard.locator('.what').allInnerTexts()).toEqual([sentence]);
    await heard.click();
    await shown(page).getByRole('button', { name: 'Copy the call as JSON' }).click();
    await shown(page).locator('.heard-body').getByText('Copied.').waitFor();
    expect(JSON.parse(await clipboard(page))).toEqual(composed);
    expect(await shown(page).locator('.sum').innerText()).toContain('They agree.');
    expect(
      await shown(page)
        .getByRole('row', { name: /^DX 102 102/ })
        .count(),
    ).toBe(1);

    const own = new URL(inject('url')).origin;
    expect(requests.filter((url) => !url.startsWith(own) && !/^(data|blob):/.test(url))).toEqual([]);
    expect(complaints).toEqual([]);
  });

  it('draws every slot, with the length that the standard gives it', async () => {
    const { page } = await open();
    await choose(page, 'distressAlert');
    // M.493 §3 (from memory): 26 DX characters with their phasing, 52 slots; 200 dots at 100 Bd make 7.2 s.
    expect(await shown(page).locator('.timing').innerText()).toContain(
      '7.20 s on the air: 200 dots and 52 slots',
    );
    expect(await shown(page).locator('.strip .cell').count()).toBe(52);
    await shown(page).getByLabel('Sent on').selectOption('156525000');
    expect(await shown(page).locator('.timing').innerText()).toContain(
      '0.45 s on the air: 20 dots and 52 slots',
    );
    await shown(page).getByRole('button', { name: 'nature' }).click();
    expect(await shown(page).locator('.strip .repetition').count()).toBe(1);
  });

  it('is told from what is no call, field by field', async () => {
    const { page } = await open();
    await choose(page, 'distressAlert');
    const strip = await shown(page).locator('.strip svg').innerHTML();
    await shown(page).getByLabel('Latitude, minutes').fill('75');
    // The last call that was one stays, greyed.
    expect(await shown(page).locator('.stale .strip svg').innerHTML()).toBe(strip);
    await shown(page).getByText('Expected minutes from 0 to 59.9999, up to 4 decimals.').waitFor();
    expect(await shown(page).getByLabel('Latitude, minutes').getAttribute('aria-invalid')).toBe('true');
    expect(await shown(page).getByRole('button', { name: 'Play' }).isDisabled()).toBe(true);
    await shown(page).getByLabel('Latitude, minutes').fill('07');
    expect(await shown(page).locator('.sentence').innerText()).toContain('45°07′N 030°15′W');
    await shown(page).getByLabel('From: own identity').fill('00 232 0001');
    await shown(page).getByText('coast station 00 232 0001 · United Kingdom').waitFor();
    await shown(page).getByLabel('From: own identity').fill('12345');
    await shown(page).getByText('Expected nine digits').waitFor();
  });

  it('says what follows on voice, and where a call does not belong', async () => {
    const { page } = await open();
    await choose(page, 'distressAlert');
    await shown(page).getByLabel('Sent on').selectOption('8414500');
    await shown(page).getByText('Then: voice (J3E) on 8291.0 kHz').waitFor();
    await choose(page, 'routineCall');
    await shown(page).getByLabel('Sent on').selectOption('2187500');
    await shown(page)
      .getByText(/unusual/)
      .click();
    await shown(page).getByText('Wrong frequency').waitFor();
  });

  it('of distress carries the caution, sounds only when told that no transmitter listens, and is logged', async () => {
    const { page, complaints } = await open();
    await choose(page, 'distressAlert');
    await shown(page).getByLabel('Sent on').selectOption('156525000');
    await page
      .getByText('Never feed distress, urgency or safety audio to a transmitter', { exact: false })
      .first()
      .waitFor();
    const play = shown(page).getByRole('button', { name: 'Play' });
    expect(await play.isDisabled()).toBe(true);
    await shown(page).getByLabel('No transmitter on the air').check();
    await play.click();
    await shown(page).getByText('noted in the log').waitFor();
    await goTo(page, 'Log');
    await shown(page).getByText('1 entry').waitFor();
    expect(await shown(page).locator('.entry .when').innerText()).toContain('sent');
    expect(complaints).toEqual([]);
  });
});

describe('a lesson', () => {
  it('sends a call through noise with faults on purpose: the receiver sees what the drawing shows', async () => {
    const { page, complaints } = await open();
    await shown(page).getByLabel('Sent on').selectOption('156525000');
    await shown(page).getByText('Noise, fading and faults on purpose').click();
    await shown(page).getByLabel('It goes through').selectOption('clear');
    await shown(page).getByLabel('Signal to noise in 3 kHz').fill('12');
    await shown(page).getByLabel('DX lost').check();
    // 11 characters of a test call with its doubled format, and the closing ones, have a DX sending that is silent.
    expect(await shown(page).locator('.strip .silent').count()).toBe(25);
    const lost = await saved(page, 'Save WAV');
    const { sampleRate, channels } = readWav(lost.bytes);
    const [heard] = receiveCalls(channels[0], { sampleRate });
    expect(heard.call.kind).toBe('testCall');
    expect(heard.quality).not.toBe('clean');
    await shown(page).getByLabel('DX lost').uncheck();
    await shown(page).getByLabel('A wrong error check').check();
    await judge(page, 'compose-lesson');
    const wrong = readWav((await saved(page, 'Save WAV')).bytes);
    const read = receiveCalls(wrong.channels[0], { sampleRate: wrong.sampleRate });
    expect(read.map(({ quality }) => quality)).toEqual(['doubtful']);
    await shown(page).getByLabel('A wrong error check').uncheck();
    await shown(page).getByLabel('Ends after').fill('40');
    await shown(page).getByText('cut off before 0.53 s').waitFor();
    const cut = readWav((await saved(page, 'Save WAV')).bytes);
    expect(
      receiveCalls(cut.channels[0], { sampleRate: cut.sampleRate }).filter(
        ({ quality }) => quality !== 'doubtful',
      ),
    ).toEqual([]);
    expect(complaints).toEqual([]);
  });

  it('goes from page to page by JSON and by a link, and stands there after a reload', async () => {
    const { page, complaints } = await open();
    await choose(page, 'safetyCall');
    await shown(page).getByRole('button', { name: 'Copy JSON' }).click();
    await shown(page).getByText('Copied.').waitFor();
    const json = await clipboard(page);
    const sentence = await shown(page).locator('.sentence').innerText();
    await page.reload();
    expect(await shown(page).locator('.sentence').innerText()).toBe(sentence);
    await shown(page).getByRole('button', { name: 'Copy link' }).click();
    await shown(page).getByText('Copied.').waitFor();
    const link = await clipboard(page);
    const other = await openBench(browser, link);
    expect(await shown(other.page).locator('.sentence').innerText()).toBe(sentence);
    const third = await open();
    await shown(third.page).getByText('Put in a call as JSON').click();
    await shown(third.page).getByLabel('JSON of a call').fill('{"kind": "safetyCall"}');
    await shown(third.page).getByRole('button', { name: 'Put it in' }).click();
    await shown(third.page)
      .getByText(/^\w+.*: expected /)
      .waitFor();
    await shown(third.page).getByLabel('JSON of a call').fill(json);
    await shown(third.page).getByRole('button', { name: 'Put it in' }).click();
    await shown(third.page).getByText('It stands in the form.').waitFor();
    expect(await shown(third.page).locator('.sentence').innerText()).toBe(sentence);
    expect([...complaints, ...other.complaints, ...third.complaints]).toEqual([]);
  });

  it('begins with a call of which nothing is unusual, and proposes on VHF what VHF has', async () => {
    const { page } = await open();
    expect(
      await shown(page)
        .getByText(/unusual/)
        .count(),
    ).toBe(0);
    await choose(page, 'distressAlert');
    expect(
      await shown(page)
        .getByText(/unusual/)
        .count(),
    ).toBe(0);
    await shown(page).getByLabel('Sent on').selectOption('156525000');
    // M.493 Table A1-3: F3E/G3E telephony on VHF, J3E on MF and HF.
    expect(await shown(page).getByLabel('Communication that follows').inputValue()).toBe('f3e');
    await shown(page).getByLabel('Sent on').selectOption('2187500');
    expect(await shown(page).getByLabel('Communication that follows').inputValue()).toBe('j3e');
    await shown(page).getByLabel('Time of the position, UTC').fill('12.40');
    expect(await shown(page).locator('.sentence').innerText()).toContain('12:40 UTC');
  });

  it('sounds one thing at a time, and stops where the drawing changes', async () => {
    const { page, complaints } = await open();
    await shown(page).getByRole('button', { name: 'Play' }).click();
    await shown(page).getByRole('button', { name: 'Stop' }).waitFor();
    await shown(page).getByLabel('To: identity').fill('00 299 4321');
    await shown(page).getByRole('button', { name: 'Play' }).waitFor({ timeout: 3000 });
    await goTo(page, 'Log');
    await page.getByText('stopped before its end').waitFor();
    expect(complaints).toEqual([]);
  });

  it('shows its strip and its buttons in the first screen of a desk', async () => {
    const { page } = await open();
    await page.setViewportSize({ width: 1280, height: 800 });
    for (const part of ['.strip', '.output-actions']) {
      const box = await shown(page).locator(part).first().boundingBox();
      expect((box?.y ?? Infinity) + (box?.height ?? 0), part).toBeLessThanOrEqual(800);
    }
    await page.setViewportSize({ width: 390, height: 844 });
    expect((await shown(page).locator('.strip').first().boundingBox())?.y).toBeLessThan(844);
  });
});

it('works from a file on disk as well', async () => {
  const local = new URL('../../docs/site/bench/index.html', import.meta.url);
  const { page, complaints } = await openBench(browser, local.href);
  await goTo(page, 'Compose');
  await shown(page).getByLabel('Sent on').selectOption('156525000');
  const sentence = await shown(page).locator('.sentence').innerText();
  const file = await saved(page, 'Save WAV');
  await goTo(page, 'Listen');
  await drop(page, file.path, file.name);
  await wholeFile(page);
  expect(await shown(page).locator('.heard-head .what').allInnerTexts()).toEqual([sentence]);
  expect(complaints).toEqual([]);
});

it('sends nothing anywhere, even if something on it tried', async () => {
  const { page } = await open();
  const outcome = await page.evaluate(() =>
    fetch('./index.html').then(
      () => 'sent',
      () => 'refused',
    ),
  );
  expect(outcome).toBe('refused');
  const source = readFileSync(new URL('../../docs/site/bench/index.html', import.meta.url), 'utf8');
  expect(source).toContain("default-src 'none'");
  expect(source).toContain("connect-src 'none'");
});

describe('the bar of buttons', () => {
  it.each([1280, 390])('covers nothing that the keyboard reaches at %i px', async (width) => {
    const { page } = await open();
    await page.setViewportSize({ width, height: 800 });
    await choose(page, 'distressAlert');
    await shown(page).getByText('Noise, fading and faults on purpose').click();
    await shown(page).getByText('Noise, fading and faults on purpose').focus();
    const covered: string[] = [];
    let reached = 0;
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab');
      const found = await page.evaluate(() => {
        const focused = document.activeElement;
        const bar = document.querySelector('.output-actions');
        if (!focused || !bar || focused === document.body || bar.contains(focused)) return undefined;
        const [a, b] = [focused.getBoundingClientRect(), bar.getBoundingClientRect()];
        const isCovered = a.bottom > b.top + 1 && a.top < b.bottom && a.right > b.left && a.left < b.right;
        return { isCovered, text: `${focused.tagName} ${focused.textContent}` };
      });
      if (found) reached++;
      if (found?.isCovered) covered.push(found.text);
    }
    expect(reached).toBeGreaterThan(20);
    expect(covered).toEqual([]);
  });
});
