/**
 * The bench in a real Chromium.
 */
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { chromium, type Browser, type BrowserContextOptions, type Locator, type Page } from 'playwright-core';

const EXECUTABLE = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** What Chromium says on a machine without a sound card. */
const NO_SOUND_CARD = 'The AudioContext encountered an error from the audio device or the WebAudio renderer.';

const browsers: Browser[] = [];

/** Closes all pages of the browsers that were started. */
export async function closePages(): Promise<void> {
  await Promise.all(browsers.flatMap((browser) => browser.contexts()).map((context) => context.close()));
}

/** Starts Chromium; with a file, its microphone plays that once. */
export async function launch(microphone?: string): Promise<Browser> {
  const fake =
    microphone === undefined
      ? []
      : [
          '--use-fake-device-for-media-stream',
          '--use-fake-ui-for-media-stream',
          `--use-file-for-fake-audio-capture=${microphone}%noloop`,
        ];
  const browser = await chromium.launch({
    executablePath: EXECUTABLE,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--autoplay-policy=no-user-gesture-required',
      '--disable-audio-output',
      ...fake,
    ],
  });
  browsers.push(browser);
  return browser;
}

/** A page with what went wrong on it, and where it asked for anything. */
export interface Bench {
  readonly page: Page;
  readonly complaints: string[];
  readonly requests: string[];
}

export async function openBench(
  browser: Browser,
  url: string,
  options: BrowserContextOptions = {},
): Promise<Bench> {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  return openIn(await context.newPage(), url);
}

/** Opens the bench in a page. */
export async function openIn(page: Page, url: string): Promise<Bench> {
  const complaints: string[] = [];
  const requests: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type()) && message.text() !== NO_SOUND_CARD) {
      complaints.push(message.text());
    }
  });
  page.on('request', (request) => requests.push(request.url()));
  await page.goto(url);
  await page.getByRole('navigation').waitFor();
  return { page, complaints, requests };
}

/** The view that is shown: the others stay in the page, hidden. */
export function shown(page: Page): Locator {
  return page.locator('.view:not([hidden])');
}

export async function goTo(
  page: Page,
  view: 'Compose' | 'Listen' | 'Exchange' | 'Measure' | 'Log' | 'Practice' | 'Papers',
): Promise<void> {
  await page.getByRole('link', { name: view }).click();
  await page.getByRole('heading', { level: 1, name: view }).waitFor();
}

/** Presses a button that saves a file, and gives the file. */
export async function saved(
  page: Page,
  button: string,
): Promise<{ name: string; path: string; bytes: Buffer }> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: button, exact: true }).click(),
  ]);
  const path = await download.path();
  return { name: download.suggestedFilename(), path, bytes: readFileSync(path) };
}

/** Drops a file from the desktop onto the drop zone, or onto another part of the page. */
export async function drop(
  page: Page,
  path: string,
  name = basename(path),
  onto = '.view:not([hidden]) .drop',
): Promise<void> {
  const base64 = readFileSync(path).toString('base64');
  const transfer = await page.evaluateHandle(
    ([data, fileName]) => {
      const bytes = Uint8Array.from(atob(data), (character) => character.charCodeAt(0));
      const created = new DataTransfer();
      created.items.add(new File([bytes], fileName, { type: 'audio/wav' }));
      return created;
    },
    [base64, name] as const,
  );
  await page.locator(onto).dispatchEvent('drop', { dataTransfer: transfer });
}

/** Waits until a dropped file was read whole. */
export async function wholeFile(page: Page): Promise<void> {
  await page.getByText(/calls? in \d+ s\.$/).waitFor();
}

/** What stands on the clipboard. */
export function clipboard(page: Page): Promise<string> {
  return page.evaluate(() => navigator.clipboard.readText());
}
