/**
 * Practice and papers in the page: for a learner on a phone without a microphone, and for an examiner with a class.
 */
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { strFromU8, unzipSync } from 'fflate';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { parsePaperKey, type PaperKey } from '../../src/exam/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { readWav } from '../../src/wav/index.js';
import { goTo, launch, openBench, saved, shown } from './page.js';
import { judge, picture } from './pictures.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

const PATIENCE = { timeout: 60_000 };
const PHONE = { viewport: { width: 390, height: 844 }, isMobile: true, hasTouch: true } as const;
/** The page on disk, as it is built for the tests. */
const ON_DISK = pathToFileURL(
  fileURLToPath(new URL('../../docs/site/bench/index.html', import.meta.url)),
).href;

/** Chooses the same place in every question, and types what is no answer. */
async function answerAll(page: Page, place: number): Promise<void> {
  for (const asked of await shown(page).locator('.asked').all()) {
    const choices = asked.locator('input[type=radio]');
    if ((await choices.count()) > 0) await choices.nth(place).check();
    else await asked.locator('input').fill('no answer');
  }
}

async function makeCall(page: Page, button: 'Make a call' | 'Next call'): Promise<void> {
  await shown(page).getByRole('button', { name: button }).click();
  await shown(page).getByRole('button', { name: 'Check' }).waitFor(PATIENCE);
}

/** Answers every question by what the page tells once it was checked, which a learner cannot. */
async function rightPlaces(page: Page): Promise<number> {
  return shown(page).locator('.verdict.right').count();
}

describe('practice', () => {
  it.each([
    ['from a server', () => inject('url')],
    ['from disk', () => ON_DISK],
  ])(
    'asks about a call that can be heard, and shows where it says what was missed, on a phone %s',
    async (_, url) => {
      const { page, complaints, requests } = await openBench(browser, `${url()}#practice`, PHONE);
      await makeCall(page, 'Make a call');
      const sound = await saved(page, 'Save the sound');
      const { sampleRate, channels } = readWav(sound.bytes);
      expect(receiveCalls(channels[0], { sampleRate }).length).toBeGreaterThan(0);
      await shown(page).getByRole('button', { name: 'Play' }).click();
      await shown(page).getByRole('button', { name: 'Stop' }).click();
      await shown(page).getByText('The characters as a receiver reads them').click();
      await shown(page).locator('.as-received').waitFor();
      await answerAll(page, 0);
      await shown(page).getByRole('button', { name: 'Check' }).click();
      const right = await rightPlaces(page);
      const all = await shown(page).locator('.verdict').count();
      await shown(page).getByText(`${right} of ${all} right.`).first().waitFor();
      await shown(page).locator('.sent-call .strip svg').waitFor();
      const isMissed = (await shown(page).locator('.cell.missed').count()) > 0;
      const named = await shown(page).locator('.missed-fields').count();
      expect(isMissed).toBe(named > 0);
      expect(complaints).toEqual([]);
      // Nothing is asked for once the page is there.
      expect(
        requests.filter((request) => !/^(file|blob|data):|index\.html|bench\.(js|css)|\/(#|$)/.test(request)),
      ).toEqual([]);
    },
  );

  it('follows success with its level, and keeps it', async () => {
    const { page } = await openBench(browser, `${inject('url')}#practice`);
    await page.evaluate(() => {
      const progress = { level: 3, inRow: 0, exercises: 4, asked: 20, right: 18 };
      localStorage.setItem('dotphase-bench practice', JSON.stringify(progress));
    });
    await page.reload();
    await shown(page).getByText('4 exercises so far, 18 of 20 answers right.').waitFor();
    await expect.poll(() => shown(page).getByLabel('Level').inputValue()).toBe('3');
    await makeCall(page, 'Make a call');
    // One answer of many: that was too hard.
    await shown(page).locator('.asked input[type=radio]').first().check();
    await shown(page).getByRole('button', { name: 'Check' }).click();
    await shown(page).getByText('That was hard: level 2 comes next.').first().waitFor();
    expect(await shown(page).getByLabel('Level').inputValue()).toBe('2');
    await makeCall(page, 'Next call');
    await shown(page).getByText('5 exercises so far').waitFor();
    await judge(page, 'practice-asked');
    await answerAll(page, 1);
    await shown(page).getByRole('button', { name: 'Check' }).click();
    await judge(page, 'practice-checked');
  });
});

/** A paper as the page saves it: its files by their names. */
async function savedPaper(page: Page): Promise<Record<string, Uint8Array>> {
  const { bytes, name } = await saved(page, 'Save everything');
  expect(name).toBe('paper.zip');
  return unzipSync(bytes);
}

const keyIn = (files: Record<string, Uint8Array>, folder = ''): PaperKey =>
  parsePaperKey(JSON.parse(strFromU8(files[`${folder}answers.json`])));

/** Candidates who know the first n answers and leave the others out. */
function table({ questions }: PaperKey, counts: readonly number[], delimiter: string): string {
  const head = ['candidate', ...questions.map(({ id }) => id)];
  const rows = counts.map((count, i) => [
    `Candidate ${i + 1}`,
    ...questions.map(({ answer }, n) => (n < count ? answer : '')),
  ]);
  return [head, ...rows].map((row) => row.join(delimiter)).join('\r\n');
}

describe('papers', () => {
  it('are made, looked at, saved and marked without a network, from disk', async () => {
    const { page, complaints } = await openBench(browser, `${ON_DISK}#papers`);
    const form = shown(page).getByRole('form', { name: 'A new paper' });
    await form.getByLabel('Level').selectOption('1');
    await form.getByLabel('Exercises').selectOption('2');
    await form.getByLabel('Written questions').fill('4');
    await form.getByLabel('Identities, positions').check();
    await judge(page, 'papers-form');
    await form.getByRole('button', { name: 'Make the paper' }).click();
    await shown(page).getByRole('button', { name: 'Save everything' }).waitFor(PATIENCE);
    const files = await savedPaper(page);
    expect(Object.keys(files).sort()).toEqual(
      '01.wav 02.wav answers.csv answers.html answers.json candidates.csv plan.json questions.csv questions.html questions.json room.csv room.wav'.split(
        ' ',
      ),
    );
    const key = keyIn(files);
    await shown(page).getByRole('button', { name: 'Question sheet' }).click();
    const sheet = shown(page).getByRole('document', { name: 'Question sheet' });
    await sheet.getByText(key.questions[0].text).first().waitFor();
    await judge(page, 'papers-questions');
    await shown(page).getByRole('button', { name: 'Question sheet' }).click();
    // A class that was typed into a spreadsheet and pasted.
    const all = key.questions.length;
    await shown(page)
      .getByLabel('Table of answers')
      .fill(table(key, [all, all - 1, 0], '\t'));
    await shown(page).getByRole('button', { name: 'Mark', exact: true }).click();
    await shown(page).getByText('3 candidates marked, 2 with 70 % or more.').waitFor();
    const results = shown(page).getByRole('document', { name: 'Results' });
    await results.getByText(`${all} of ${all}`).first().waitFor();
    await judge(page, 'papers-results');
    await page.emulateMedia({ media: 'print' });
    expect(await shown(page).locator('.paper-form').isVisible()).toBe(false);
    expect(await page.locator('.masthead').isVisible()).toBe(false);
    await picture(page, 'papers-results-printed');
    await page.emulateMedia({ media: 'screen' });
    const archive = await saved(page, 'Save the results');
    const entries = unzipSync(archive.bytes);
    expect(Object.keys(entries).sort()).toEqual(['class.csv', 'marks.csv', 'questions.csv', 'results.html']);
    expect(strFromU8(entries['class.csv'])).toContain(`Candidate 2,${key.number},,${all - 1},${all}`);
    expect(complaints).toEqual([]);
  });

  it('ask before another takes the place of one that is not saved', async () => {
    const { page, complaints } = await openBench(browser, `${inject('url')}#papers`);
    const form = shown(page).getByRole('form', { name: 'A new paper' });
    await form.getByLabel('Level').selectOption('1');
    await form.getByLabel('Exercises').selectOption('1');
    await form.getByLabel('One long recording').uncheck();
    const makeAnother = form.getByRole('button', { name: 'Make the paper' });
    const question = page.getByRole('dialog', { name: 'Make another paper?' });
    const number = async () =>
      /^Paper (.+?)(?:,|:)/.exec(await shown(page).locator('.made-paper .said').innerText())?.[1];
    await makeAnother.click();
    await shown(page).getByRole('button', { name: 'Save everything' }).waitFor(PATIENCE);
    const first = await number();
    expect(first).toBeTruthy();
    await makeAnother.click();
    await question.getByText(`Paper ${first} is not saved`).waitFor();
    await judge(page, 'papers-replace');
    await question.getByRole('button', { name: 'Keep it' }).click();
    await question.waitFor({ state: 'hidden' });
    // By the keyboard it is left as it was, too.
    await makeAnother.click();
    await question.waitFor();
    await page.keyboard.press('Escape');
    await question.waitFor({ state: 'hidden' });
    await makeAnother.waitFor();
    expect(await number()).toBe(first);
    await makeAnother.click();
    await question.getByRole('button', { name: 'Replace it' }).click();
    await expect.poll(number, PATIENCE).not.toBe(first);
    const second = await number();
    // What is saved gives way without a question.
    await savedPaper(page);
    await makeAnother.click();
    await expect.poll(number, PATIENCE).not.toBe(second);
    expect(await question.count()).toBe(0);
    expect(complaints).toEqual([]);
  });

  it('in versions are marked later by what was saved, and every fault of a table is told', async () => {
    const { page } = await openBench(browser, `${inject('url')}#papers`);
    const form = shown(page).getByRole('form', { name: 'A new paper' });
    await form.getByLabel('Level').selectOption('1');
    await form.getByLabel('Exercises').selectOption('1');
    await form.getByLabel('Versions').selectOption('2');
    await form.getByLabel('One long recording').uncheck();
    await form.getByRole('button', { name: 'Make the paper' }).click();
    await shown(page).getByRole('button', { name: 'Save everything' }).waitFor(PATIENCE);
    const { path, bytes } = await saved(page, 'Save everything');
    const files = unzipSync(bytes);
    const [a, b] = [keyIn(files, 'a/'), keyIn(files, 'b/')];
    expect(a.questions.length).toBe(b.questions.length);
    expect(a.number).not.toBe(b.number);
    // Next month, in a page that knows nothing of it.
    await page.reload();
    await goTo(page, 'Papers');
    const mark = shown(page).getByRole('button', { name: 'Mark', exact: true });
    expect(await mark.isDisabled()).toBe(true);
    const folder = mkdtempSync(join(tmpdir(), 'dotphase-school-'));
    const write = (name: string, content: string | Uint8Array) => {
      writeFileSync(join(folder, name), content);
      return join(folder, name);
    };
    const open = shown(page).locator('.put-answers input[type=file]');
    await open.setInputFiles(write('paper.zip', readFileSync(path)));
    await shown(page).getByText(`version A (paper ${a.number})`).waitFor();
    const headed = (key: PaperKey, name: string) =>
      table(key, [key.questions.length], ';')
        .replace('candidate', `candidate (paper ${key.number})`)
        .replace('Candidate 1', name);
    await open.setInputFiles([write('a.csv', headed(a, 'Ann')), write('b.csv', headed(b, 'Bert'))]);
    await shown(page).getByText('2 tables were dropped').waitFor();
    await mark.click();
    await shown(page).getByText('2 candidates marked, 2 with 70 % or more.').waitFor();
    await shown(page)
      .getByLabel('Table of answers')
      .fill(headed(a, 'Ann').replace(/;[a-d]\b/, ';x') + '\nann;b');
    await mark.click();
    const told = await shown(page).getByRole('alert').innerText();
    expect(told).toContain('row 2 (Ann), Q1.1: got "x"');
    expect(told).toContain('row 3, candidate: got "ann", expected each candidate once; row 2 has the same');
    await judge(page, 'papers-faults');
  });
});
