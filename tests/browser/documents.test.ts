/**
 * The documents as people read them, opened from disk: every page of our own and each kind of page of the library's
 * reference, on a phone and on a desk, by day and by night, and on paper.
 */
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launch } from './page.js';
import { picture, violations } from './pictures.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const SITE = join(ROOT, 'docs/site');

/** When the newest of the files that the pages are made from was changed. */
function sourcesChanged(): number {
  const folders = ['docs', 'docs/pages', 'docs/build', 'docs/build/client', 'docs/build/sounds'];
  const files = folders.flatMap((folder) =>
    readdirSync(join(ROOT, folder)).map((file) => join(ROOT, folder, file)),
  );
  return Math.max(
    ...files.map((file) => statSync(file)).map((entry) => (entry.isFile() ? entry.mtimeMs : 0)),
  );
}

/** Builds the documents where they are missing or older than what they are made from. */
function provideSite(): void {
  const search = join(SITE, 'search-documents.js');
  if (existsSync(search) && statSync(search).mtimeMs > sourcesChanged()) return;
  const { status, stderr } = spawnSync(process.execPath, ['--import', 'tsx', 'docs/build/site.ts'], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { ...process.env, NODE_ENV: 'production' },
  });
  if (status !== 0) throw new Error(`the documents could not be built: ${stderr}`);
}

/** The pages of our own, and one of each kind of the reference. */
function pagesOf(): string[] {
  const html = (folder: string) => readdirSync(join(SITE, folder)).filter((file) => file.endsWith('.html'));
  const kinds = readdirSync(join(SITE, 'api'), { withFileTypes: true }).filter(
    (entry) => entry.isDirectory() && entry.name !== 'assets',
  );
  return [
    ...html('.'),
    ...html('monday').map((file) => `monday/${file}`),
    'api/index.html',
    ...kinds.map(({ name }) => `api/${name}/${html(`api/${name}`)[0]}`),
  ];
}

const VIEWPORTS = [
  { width: 390, height: 844 },
  { width: 1280, height: 800 },
] as const;
/** A4 without its margins of 14 mm, at 96 pixels an inch. */
const SHEET = { width: Math.floor((182 / 25.4) * 96), height: 1016 };

const isOwn = (name: string) => !name.includes('/');

let browser: Browser;
let pages: string[];
beforeAll(async () => {
  provideSite();
  pages = pagesOf();
  browser = await launch();
}, 300_000);
afterAll(() => browser.close());

interface Opened {
  readonly page: Page;
  readonly complaints: string[];
}

async function open(name: string, options: Parameters<Browser['newContext']>[0] = {}): Promise<Opened> {
  const context = await browser.newContext({ viewport: VIEWPORTS[1], ...options });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) complaints.push(`asks ${request.url()}`);
  });
  const [file, rest = ''] = name.split(/(?=[?#])/);
  await page.goto(pathToFileURL(join(SITE, file)).href + rest);
  return { page, complaints };
}

/** What is cut off, or reaches beyond the width, apart from what scrolls by itself. */
function beyond(page: Page, width: number): Promise<string[]> {
  return page.evaluate(
    (limit) =>
      [...document.querySelectorAll('body *')]
        .filter((element) => !element.closest('.skip, svg > *'))
        .filter((element) => {
          const { right, width: own } = element.getBoundingClientRect();
          return own > 0 && right > limit + 1;
        })
        .map((element) => `${element.tagName}.${element.getAttribute('class') ?? ''}`),
    width,
  );
}

/** Pages looked at side by side: each is worked out on a processor of its own. */
const SIDE_BY_SIDE = 3;

/** What is wrong with a page at one width, by day and by night. */
async function faultsOf(name: string, viewport: (typeof VIEWPORTS)[number]): Promise<string[]> {
  const found: string[] = [];
  const { page, complaints } = await open(name, { viewport });
  const judge = async (colorScheme: 'light' | 'dark', rules?: string[]) => {
    await page.emulateMedia({ colorScheme });
    const at = `${name} ${viewport.width} ${colorScheme}`;
    found.push(...(await violations(page, rules)).map((violation) => `${at}: ${violation}`));
    await picture(page, `page-${at.replace(/\W+/g, '-')}`);
  };
  await judge('light');
  // By night only the colours are others, the same ones at every width.
  if (viewport === VIEWPORTS[1]) await judge('dark', ['color-contrast', 'link-in-text-block']);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  if (wide > viewport.width) found.push(`${name} is ${wide} wide at ${viewport.width}`);
  found.push(...complaints.map((complaint) => `${name}: ${complaint}`));
  await page.context().close();
  return found;
}

describe('every page', () => {
  // No sound plays here, so that trying again would tell nothing.
  const once = { timeout: 600_000, retry: 0 };
  it(
    'is readable by everyone and fits the screen, on a phone and a desk, by day and by night',
    once,
    async () => {
      const left = pages.flatMap((name) => VIEWPORTS.map((viewport) => ({ name, viewport })));
      const found: string[] = [];
      const look = async () => {
        for (let next = left.shift(); next; next = left.shift())
          found.push(...(await faultsOf(next.name, next.viewport)));
      };
      await Promise.all(Array.from({ length: SIDE_BY_SIDE }, look));
      expect(found).toEqual([]);
    },
  );

  it('prints whole on A4, without what paper cannot do', async () => {
    const found: string[] = [];
    for (const name of pages.filter(isOwn)) {
      const { page } = await open(name, { viewport: SHEET, colorScheme: 'dark' });
      await page.emulateMedia({ media: 'print', colorScheme: 'light' });
      found.push(...(await beyond(page, SHEET.width)).map((element) => `${name}: ${element}`));
      const left = await page.locator('audio:visible, nav:visible, form:visible, button:visible').count();
      if (left > 0) found.push(`${name}: ${left} players, menus or forms are printed`);
      const folder = process.env.BENCH_PICTURES;
      if (folder !== undefined) {
        mkdirSync(folder, { recursive: true });
        writeFileSync(join(folder, `print-${name}.pdf`), await page.pdf({ preferCSSPageSize: true }));
      }
      await page.context().close();
    }
    expect(found).toEqual([]);
  });
});

describe('links to a view of the bench', () => {
  it('lead to a view that is there', async () => {
    const links = pages
      .filter(isOwn)
      .flatMap((name) =>
        [...readFileSync(join(SITE, name), 'utf8').matchAll(/href="bench\/index\.html(#[^"/]+)/g)].map(
          ([, view]) => view,
        ),
      );
    for (const view of new Set(links)) {
      const { page } = await open(`bench/index.html${view}`);
      const shown = page.locator('nav a[aria-current=page]');
      expect(await shown.getAttribute('href')).toBe(view);
      await page.context().close();
    }
  });
});

describe('sounds', () => {
  it('all play from disk, and are as long as the page says', async () => {
    const found: string[] = [];
    let count = 0;
    for (const name of pages.filter(isOwn)) {
      const { page } = await open(name);
      const sounds = await page.evaluate(() =>
        Promise.all(
          [...document.querySelectorAll('audio')].map(async (audio) => {
            audio.preload = 'metadata';
            await new Promise<void>((resolve, reject) => {
              audio.addEventListener('loadedmetadata', () => {
                resolve();
              });
              audio.addEventListener('error', () => {
                reject(new Error(`${audio.src} does not play`));
              });
              audio.load();
            });
            const said = audio.closest('.sound')?.querySelector('small')?.textContent;
            return {
              src: audio.src,
              said: said === undefined ? audio.duration : parseFloat(said),
              seconds: audio.duration,
            };
          }),
        ),
      );
      count += sounds.length;
      found.push(
        ...sounds.filter(({ said, seconds }) => Math.abs(said - seconds) > 0.51).map(({ src }) => src),
      );
      await page.context().close();
    }
    expect(found).toEqual([]);
    expect(count).toBeGreaterThan(40);
  });
});

describe('the walk', () => {
  const first = (page: Page) => page.locator('.player').first();
  const says = (page: Page) => first(page).locator('.says').textContent();
  const cursor = (page: Page) =>
    first(page)
      .locator('.cursor')
      .evaluate((line) => parseFloat(line.style.left));
  const play = (page: Page, player = 0) =>
    page
      .locator('.player audio')
      .nth(player)
      .evaluate((audio: HTMLAudioElement) => audio.play());

  it('plays with a cursor through its drawings, and one sound at a time', async () => {
    const { page, complaints } = await open('walk.html');
    await play(page);
    await page.waitForFunction(() => document.querySelector('.says')?.textContent.startsWith('dot pattern'));
    const early = await cursor(page);
    await page.waitForFunction(() => document.querySelector('.says')?.textContent === 'DX: 125, phasing');
    expect(await first(page).locator('.sounds').count()).toBe(1);
    expect(await cursor(page)).toBeGreaterThan(early);
    await play(page, 1);
    const playing = await page
      .locator('audio')
      .evaluateAll((all) => all.filter((audio) => !(audio as HTMLAudioElement).paused).length);
    expect(playing).toBe(1);
    expect(complaints).toEqual([]);
  });

  it('plays single characters by the keyboard, backwards too, and stops behind each', async () => {
    const { page } = await open('walk.html');
    const stopped = () =>
      page.waitForFunction(() => document.querySelector<HTMLAudioElement>('.player audio')?.paused);
    await first(page).getByRole('button', { name: 'On one' }).focus();
    const heard: (string | null)[] = [];
    for (const key of ['Enter', 'Enter', 'Space', 'Enter']) {
      await page.keyboard.press(key);
      await stopped();
      heard.push(await says(page));
    }
    expect(heard).toEqual([
      'dot pattern: 200 bits, B and Y in turn',
      'DX: 125, phasing',
      'RX: 111, phasing',
      'DX: 125, phasing',
    ]);
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Enter');
    await stopped();
    expect(await says(page)).toBe('RX: 111, phasing');
  });

  it('moves from character to character for those who want no motion', async () => {
    const { page } = await open('walk.html', { reducedMotion: 'reduce' });
    await first(page).locator('[data-cell="17"]').click();
    await page.waitForFunction(() => document.querySelector('.sounds')?.getAttribute('data-cell') === '17');
    const { left, right, seconds } = await first(page)
      .locator('.cursor')
      .evaluate(({ dataset: { left, right, seconds } }) => ({ left, right, seconds }));
    // Half a second of silence, 200 dots and 17 slots of ten bits at 100 Bd.
    const expected = Number(left) + ((Number(right) - Number(left)) * (0.5 + 2 + 1.7)) / Number(seconds);
    expect(await cursor(page)).toBeCloseTo(expected, 1);
  });
});

describe('the search', () => {
  it('finds sections, numbers and functions from disk, and leads there', async () => {
    const { page, complaints } = await open('glossary.html');
    await page.getByRole('searchbox').fill('dot pattern');
    await page.keyboard.press('Enter');
    const found = page.locator('#found a');
    await found.first().waitFor();
    expect(await found.first().textContent()).toContain('Dot pattern');
    for (const [words, place] of [
      ['2187.5', 'twenty.html#distress'],
      ['applyChannel', 'api/functions/channel.applyChannel.html'],
      ['acknowledgment', 'glossary.html#acknowledgement'],
    ]) {
      await page.getByRole('searchbox').fill(words);
      await expect
        .poll(() => found.evaluateAll((links) => links.map((link) => link.getAttribute('href'))))
        .toContain(place);
    }
    await page.locator('#found a[href="glossary.html#acknowledgement"]').click();
    await page.getByRole('heading', { level: 1, name: 'Glossary' }).waitFor();
    expect(complaints).toEqual([]);
  });

  it.each([
    ['', ''],
    ['zzxqqy', 'Nothing is found for “zzxqqy”. Fewer or other words may do.'],
    ['<img src=x onerror=alert(1)>', null],
    ['+-*/()[]{}\\', null],
    ['a'.repeat(200), null],
  ])('says what it finds for %j, and makes no markup of it', async (query, said) => {
    const { page, complaints } = await open(`search.html?q=${encodeURIComponent(query)}`);
    const count = page.locator('#count');
    if (said === null) await expect.poll(() => count.textContent()).toMatch(/place|Nothing/);
    else expect(await count.textContent()).toBe(said);
    expect(await page.locator('#found img').count()).toBe(0);
    expect(complaints).toEqual([]);
  });
});
