/**
 * The page of a watch that runs, fed in real time, and what it does with hostile text.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DatabaseSync } from '@photostructure/sqlite';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callToAudio, type Call } from '../../src/index.js';
import { callEntry } from '../../src/records/index.js';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import { launch, openBench } from './page.js';
import { judge } from './pictures.js';

const RATE = 8000;
const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));
const TEST: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };
const ALERT: Call = {
  kind: 'distressAlert',
  self: '299000111',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
const HOSTILE = `<img src=x onerror="document.title='taken'"><script>document.title='taken'</script>`;
const TOKEN = 'a-token-of-the-tests';

let folder: string;
let browser: Browser;
const children: ChildProcess[] = [];

/** Plays raw samples in real time, again and again, as a sound card's recorder does. */
const PLAYER = `
  const audio = require('fs').readFileSync(process.argv[1]);
  const piece = ${(2 * RATE) / 10};
  let at = 0;
  setInterval(() => {
    process.stdout.write(audio.subarray(at, at + piece));
    at = (at + piece) % audio.length;
  }, 100);
`;

/** Starts the program; gives the address that it says. */
function serve(...args: string[]): Promise<string> {
  const child = spawn(process.execPath, [MAIN, ...args], { cwd: folder });
  children.push(child);
  return new Promise((resolve, reject) => {
    let text = '';
    child.stderr.on('data', (bytes: Buffer) => {
      text += bytes.toString();
      const url = /http:\S+/.exec(text)?.[0];
      if (url !== undefined) resolve(url);
    });
    child.on('close', () => {
      reject(new Error(text));
    });
  });
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'heard-page-'));
  const call = callToAudio(TEST, { band: 'vhf', sampleRate: RATE });
  const bytes = Buffer.alloc(2 * 6 * RATE);
  call.forEach((sample, n) => bytes.writeInt16LE(Math.round(16_000 * sample), 2 * (n + 4 * RATE)));
  writeFileSync(join(folder, 'call.raw'), bytes);
  for (const name of ['live', 'held'])
    writeFileSync(
      join(folder, `${name}.json`),
      JSON.stringify({
        log: `${name}.db`,
        inputs: [
          {
            name: 'channel 70',
            command: [process.execPath, '-e', PLAYER, join(folder, 'call.raw')],
            format: 's16',
            sampleRate: RATE,
            frequencyHz: 156_525_000,
          },
        ],
      }),
    );
  const store = await openHeardStore(join(folder, 'kept.db'), { clock: Date.now });
  const add = (call: Call, time: number, text: string) =>
    store.calls.add({
      ...callEntry(call, { direction: 'received', time, frequencyHz: 8_414_500 }),
      timeSource: 'recorded',
      quality: 'clean',
      text,
      file: HOSTILE,
    });
  const began = Date.UTC(2031, 4, 17, 9, 30);
  add(ALERT, began, HOSTILE);
  for (let n = 0; n < 150; n++) add(TEST, began + n * 3_600_000, `Test call ${n}`);
  store.close();
  browser = await launch();
});
afterAll(async () => {
  for (const child of children) child.kill();
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('the page of a watch', () => {
  it('shows a call as it comes, whole and with its sound, and its input', async () => {
    const url = await serve('watch', 'live.json', '--quiet', '--page', '--page-port', '0');
    const { page, complaints, requests } = await openBench(browser, url);
    const first = page.locator('.call button').first();
    await first.getByText('Test call from ship 299 123 456').waitFor();
    await page.getByText('Just heard:').waitFor();
    await first.focus();
    await page.keyboard.press('Enter');
    await page.getByText('exclusive-or of the characters before it').waitFor();
    expect(await page.locator('.characters b').first().textContent()).toBe('120');
    // Its sound: 2.2 s before, the call of 0.45 s, and a little more.
    const audio = page.locator('audio');
    await expect
      .poll(() => audio.evaluate((element: HTMLAudioElement) => element.duration))
      .toBeGreaterThan(2.5);
    await page.getByRole('link', { name: 'Inputs' }).click();
    await page.getByText('heard from now on').waitFor();
    expect(complaints).toEqual([]);
    expect(requests.filter((request) => !request.startsWith(url))).toEqual([]);
    const metrics = await (await fetch(`${url}metrics`)).text();
    expect(metrics).toMatch(/dotphase_calls_total\{input="channel 70",quality="clean"\} [1-9]/);
    expect(metrics).toContain('dotphase_log_held 0');
  });

  it('says that another program holds the log, to whoever opens it then too, and when that is over', async () => {
    const url = await serve('watch', 'held.json', '--quiet', '--page', '--page-port', '0');
    const { page } = await openBench(browser, url);
    const holder = new DatabaseSync(join(folder, 'held.db'));
    holder.exec('BEGIN IMMEDIATE');
    const words = /Another program has held the log since 20\d\d-\d\d-\d\d \d\d:\d\d:\d\d/;
    await page.getByText(words).waitFor();
    await page.reload();
    await page.getByText(words).waitFor();
    expect(await (await fetch(`${url}metrics`)).text()).toContain('dotphase_log_held 1');
    holder.exec('ROLLBACK');
    holder.close();
    await page.getByText(words).waitFor({ state: 'detached' });
    await page.getByText('Just heard:').waitFor();
  });
});

describe('the page of a log', () => {
  it('shows hostile text as text, finds calls, and reads on', async () => {
    const url = await serve('heard', 'kept.db', '--page', '--page-port', '0');
    const { page, complaints } = await openBench(browser, url);
    await page.getByText('Test call 149').waitFor();
    await page.getByRole('button', { name: 'Earlier calls' }).click();
    await page.getByText(HOSTILE).first().waitFor();
    await page.getByLabel('Words or identity').fill('299 000 111');
    await expect.poll(() => page.locator('.call').count()).toBe(1);
    await page.getByRole('link', { name: 'Chart' }).click();
    const place = page.locator('.place');
    await place.focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('figcaption').textContent()).toContain(HOSTILE);
    expect(await page.title()).toBe('Chart · dotphase watch');
    await page.getByRole('link', { name: 'Times' }).click();
    await page.getByRole('img', { name: /How many calls/ }).waitFor();
    expect(complaints).toEqual([]);
  });

  it('shows what another program writes into it', async () => {
    const url = await serve('heard', 'kept.db', '--page', '--page-port', '0');
    const { page } = await openBench(browser, url);
    await page.getByText('Test call 149').waitFor();
    const store = await openHeardStore(join(folder, 'kept.db'), { clock: Date.now });
    store.calls.add({
      ...callEntry(TEST, { direction: 'received' }),
      text: 'Just come in',
      timeSource: 'live',
    });
    store.close();
    await page.locator('.latest').getByText('Just come in').waitFor();
  });

  it('can be read by everyone, by day and by night, also on a phone', async () => {
    const url = await serve('heard', 'kept.db', '--page', '--page-port', '0');
    const { page } = await openBench(browser, url);
    await page.locator('.call button').first().click();
    await page.locator('.characters').waitFor();
    await judge(page, 'heard-calls');
    for (const view of ['Chart', 'Times', 'Inputs']) {
      await page.getByRole('link', { name: view }).click();
      await page.locator('main').locator('svg, h2').first().waitFor();
      await judge(page, `heard-${view.toLowerCase()}`);
    }
  });

  it('is shown on another address only to those who know the token', async () => {
    const url = await serve(
      'heard',
      'kept.db',
      '--page',
      '--page-port',
      '0',
      '--page-address',
      '0.0.0.0',
      '--page-token',
      TOKEN,
    );
    const place = url.replace(/\?.*/, '').replace('0.0.0.0', '127.0.0.1');
    for (const path of ['', 'data/calls', 'data/stream', 'metrics', 'page.js', '?token=wrong'])
      expect((await fetch(place + path)).status).toBe(401);
    expect(
      (await fetch(`${place}data/summary`, { headers: { authorization: `Bearer ${TOKEN}` } })).status,
    ).toBe(200);
    const { page } = await openBench(browser, `${place}?token=${TOKEN}`);
    await page.locator('.call').first().waitFor();
    expect(page.url()).not.toContain(TOKEN);
  });

  it('answers no other name, and nothing but what it has', async () => {
    const url = await serve('heard', 'kept.db', '--page', '--page-port', '0');
    const rebound = await new Promise<string>((resolve) => {
      const child = spawn('curl', [
        '-s',
        '-o',
        '/dev/null',
        '-w',
        '%{http_code}',
        '-H',
        'Host: elsewhere.example',
        url,
      ]);
      child.stdout.on('data', (bytes: Buffer) => {
        resolve(bytes.toString());
      });
    });
    expect(rebound).toBe('421');
    expect((await fetch(`${url}data/calls/99999`)).status).toBe(404);
    expect((await fetch(`${url}data/calls/x`)).status).toBe(404);
    expect((await fetch(`${url}data/calls?before=x`)).status).toBe(400);
    expect((await fetch(`${url}..%2f..%2fpackage.json`)).status).toBeGreaterThanOrEqual(400);
    expect((await fetch(url, { method: 'POST', body: 'x' })).status).toBe(404);
    const policy = (await fetch(url)).headers.get('content-security-policy');
    expect(policy).toContain("default-src 'none'; script-src 'self'");
  });
});
