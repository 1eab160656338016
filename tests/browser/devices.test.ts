import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openIn } from './page.js';
import { judge } from './pictures.js';
import { wired } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

interface Asked {
  inputs: unknown[];
  outputs: unknown[];
  unplug?: () => void;
}

/** Runs in the page: a sound card with two inputs and two outputs. */
function plugIn(): void {
  const asked: Asked = { inputs: [], outputs: [] };
  (window as unknown as { asked: Asked }).asked = asked;
  const device = (kind: MediaDeviceKind, deviceId: string, label: string) =>
    ({ kind, deviceId, label, groupId: '' }) as MediaDeviceInfo;
  const { mediaDevices } = navigator;
  mediaDevices.enumerateDevices = () =>
    Promise.resolve([
      device('audioinput', 'line', 'Line In'),
      device('audioinput', 'mic', 'Built-in microphone'),
      device('audiooutput', 'line', 'Line Out'),
      device('audiooutput', 'speaker', 'Speaker'),
    ]);
  const open = mediaDevices.getUserMedia.bind(mediaDevices);
  mediaDevices.getUserMedia = async (constraints) => {
    const audio = constraints?.audio;
    asked.inputs.push(typeof audio === 'object' ? audio.deviceId : undefined);
    const stream = await open(constraints);
    const [track] = stream.getAudioTracks();
    asked.unplug = () => {
      track.stop();
      track.dispatchEvent(new Event('ended'));
    };
    return stream;
  };
  const prototype = AudioContext.prototype as AudioContext & { setSinkId: (id: string) => Promise<void> };
  prototype.setSinkId = (id) => {
    asked.outputs.push(id);
    return Promise.resolve();
  };
}

const asked = (page: Page) => page.evaluate(() => (window as unknown as { asked: Asked }).asked);

async function open(echo: number) {
  const page = await wired(await browser.newContext(), { echo });
  await page.addInitScript(plugIn);
  const bench = await openIn(page, inject('url'));
  await goTo(page, 'Exchange');
  await page.getByLabel('A real set on the sound card').check();
  return bench;
}

const check = (page: Page) => page.getByRole('button', { name: 'Check the loop' }).click();

describe('the sound card', () => {
  it('is used by the input and output that were chosen, also after a reload', async () => {
    const { page, complaints } = await open(0.5);
    await page.getByLabel('Input: what comes from the set').selectOption({ label: 'Line In' });
    await page.getByLabel('Output: what goes to the set').selectOption({ label: 'Line Out' });
    await page.getByRole('button', { name: 'Only listen' }).click();
    await page.getByText('The sound card is open').waitFor();
    expect((await asked(page)).inputs).toEqual([{ exact: 'line' }]);
    expect((await asked(page)).outputs.at(-1)).toBe('line');
    await judge(page, 'exchange-set');
    await page.reload();
    await page.getByLabel('Input: what comes from the set').waitFor();
    expect(await page.getByLabel('Input: what comes from the set').inputValue()).toBe('line');
    await page.waitForFunction(() => (window as unknown as { asked: Asked }).asked.outputs.at(-1) === 'line');
    expect(complaints).toEqual([]);
  });

  it('says that the loop works and how loud its tone comes back', async () => {
    const { page, complaints } = await open(0.5);
    await check(page);
    // −6 dB of full scale go out, half of that comes back: −12 dB.
    await page.getByText(/^The loop works: the test tone came back at −1[123] dB of full scale\.$/).waitFor();
    await judge(page, 'exchange-loop');
    expect(complaints).toEqual([]);
  });

  it('says that the loop clips', async () => {
    const { page } = await open(4);
    await check(page);
    await page.getByText(/^The loop works, but the input clips: turn it down\./).waitFor();
  });

  it('says that nothing came back', async () => {
    const { page } = await open(0);
    await check(page);
    await page
      .getByText(/^Nothing of the test tone came back: check the cable, the devices and the levels\.$/)
      .waitFor();
    await judge(page, 'exchange-no-loop');
  });

  it('says that the input was unplugged, and opens again', async () => {
    const { page } = await open(0.5);
    await page.getByRole('button', { name: 'Only listen' }).click();
    await page.getByText('The sound card is open').waitFor();
    await page.evaluate(() => {
      (window as unknown as { asked: Asked }).asked.unplug?.();
    });
    await page.getByText('The input has gone: it was unplugged or given to another program.').waitFor();
    await page.getByText('Switched off.').waitFor();
    await page.getByRole('button', { name: 'Only listen' }).click();
    await page.getByText('The sound card is open').waitFor();
  });
});
