/**
 * What builds the documents: links that lead nowhere are found, and Markdown becomes pages that all can read.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { lab, lch } from 'd3-color';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { withNight } from '../../docs/build/darken.js';
import { createExpect } from '../../docs/build/expect.js';
import { layOut } from '../../docs/build/layout.js';
import { madeReadable } from '../../docs/build/library.js';
import { checkLinks } from '../../docs/build/links.js';
import { toHtml } from '../../docs/build/markdown.js';
import { placesOf } from '../../docs/build/search.js';

describe('the check of links', () => {
  let site: string;
  beforeEach(() => {
    site = mkdtempSync(join(tmpdir(), 'site-'));
    mkdirSync(join(site, 'more'));
    writeFileSync(join(site, 'more/place.html'), '<h2 id="here">Here</h2><a href="../index.html">back</a>');
    writeFileSync(join(site, 'sound.wav'), '');
  });
  afterEach(() => {
    rmSync(site, { recursive: true });
  });
  const check = (html: string) => {
    writeFileSync(join(site, 'index.html'), html);
    return checkLinks(site);
  };

  it('passes what is there', () => {
    const good =
      '<p id="top"><a href="more/place.html#here">a</a><a href="#top">b</a><audio src="sound.wav"></audio><a href="https://example.org/">c</a></p>';
    expect(check(good)).toEqual({ pages: 2, links: 5, broken: [] });
  });

  it('leaves the places of a page that a script makes to the browser', () => {
    writeFileSync(join(site, 'bench.html'), '<div id="app"></div>');
    expect(check('<a href="bench.html#listen">a</a>').broken).toEqual([]);
  });

  it.each([
    ['a file that is not there', '<a href="nowhere.html">x</a>', 'nowhere.html'],
    ['a place that is not there', '<a href="more/place.html#there">x</a>', 'more/place.html#there'],
    ['a place on its own page', '<a href="#top">x</a>', '#top'],
    ['a folder, which from disk shows no page', '<a href="more">x</a>', 'more'],
    ['a file outside the site', '<a href="../elsewhere.html">x</a>', '../elsewhere.html'],
    ['a picture that is not there', '<img src="none.svg" alt="">', 'none.svg'],
    [
      'a script from elsewhere',
      '<script src="https://example.org/a.js"></script>',
      'https://example.org/a.js',
    ],
    [
      'a style sheet from elsewhere',
      '<link rel="stylesheet" href="//example.org/a.css">',
      '//example.org/a.css',
    ],
  ])('finds %s', (_, html, target) => {
    expect(check(html).broken).toEqual([`index.html: ${target}`]);
  });
});

const sounds = () => ({ seconds: 7.2, isCall: true });

describe('a document', () => {
  it('links to the pages that other documents become', () => {
    expect(toHtml('[a](glossary.md#dx-and-rx), [b](https://example.org/c.md)', sounds)).toBe(
      '<p><a href="glossary.html#dx-and-rx">a</a>, <a href="https://example.org/c.md">b</a></p>\n',
    );
  });

  it('gives each of its tables a name, and no heading to a column without one', () => {
    const html = toHtml('## Words\n\n| a | |\n|---|---|\n| 1 | 2 |\n\n| b |\n|---|\n| 3 |\n', sounds);
    expect(html).toContain('aria-label="Words"');
    expect(html).toContain('aria-label="Words, table 2"');
    expect(html.match(/<th>/g)).toHaveLength(2);
  });

  it('plays a sound whose link stands alone, with its length and the caution', () => {
    const html = toHtml(
      '[An _alert_](sounds/alert-1.wav)\n\nIn [a text](sounds/alert-1.wav) it is a link.\n',
      sounds,
    );
    expect(html.match(/<audio /g)).toHaveLength(1);
    expect(html).toContain('<audio controls preload="none" src="sounds/alert-1.wav" aria-label="An alert">');
    expect(html).toContain(
      'An <em>alert</em> <small>7.2 s. <strong>Never to a transmitter on the air.</strong>',
    );
    expect(html).toContain('<p>In <a href="sounds/alert-1.wav">a text</a>');
    const tone = toHtml('[A tone](sounds/tone.wav)', () => ({ seconds: 12, isCall: false }));
    expect(tone).toContain('<small>12 s.</small>');
    expect(tone).not.toContain('transmitter');
  });

  it('has contents when it is long, below what opens it, with a link to each heading', () => {
    const sections = ['One', 'Two `x`', 'Three', 'Four', 'Five'].map((title) => `## ${title}\n\ntext\n`);
    const long = toHtml(`# All\n\nOpens.\n\n${sections.join('\n')}\n### Below\n`, sounds);
    expect(long).toMatch(/<p>Opens.<\/p>\n<nav class="contents"/);
    expect(long.match(/<li><a href="#[^"]+">/g)).toHaveLength(6);
    expect(long).toContain('<li><a href="#five">Five</a><ul><li><a href="#below">Below</a></li></ul></li>');
    expect(long).toContain('<a href="#two-x">Two x</a>');
    expect(toHtml(`# All\n\n${sections.slice(1).join('\n')}`, sounds)).not.toContain('<nav');
  });

  it('becomes a page with its title, its place in the menu and the cautions', () => {
    const page = layOut('glossary', '# Glossary\n', sounds);
    expect(page).toContain('<title>Glossary · dotphase</title>');
    expect(page.match(/aria-current="page"/g)).toHaveLength(1);
    expect(page).toContain('A decoded distress alert is not a watch.');
  });
});

describe('a drawing by night', () => {
  it('turns paper dark and ink light, and keeps the hue of the rest', () => {
    const svg =
      '<svg xmlns="http://www.w3.org/2000/svg" fill="#000000"><rect fill="#ffffff" stroke="#9c1656"/></svg>';
    const [, black, white, red] =
      /\[fill="#000000"\]\{fill:(#\w+)\}\[fill="#ffffff"\]\{fill:(#\w+)\}\[stroke="#9c1656"\]\{stroke:(#\w+)\}/.exec(
        withNight(svg),
      ) ?? [];
    expect(lab(black).l).toBeGreaterThan(90);
    expect(white).toBe('#14222b');
    expect(lab(red).l).toBeGreaterThan(60);
    expect(lch(red).h).toBeCloseTo(lch('#9c1656').h, -1);
    expect(withNight(svg).replace(/<style>.*<\/style>/, '')).toBe(svg);
  });
});

describe('what to expect', () => {
  it('is said in words from the figures, for ratios that every channel was measured at', () => {
    const folder = mkdtempSync(join(tmpdir(), 'figures-'));
    const file = join(folder, 'performance.json');
    const point = (channel: string, snrDb: number, right: number) => ({
      channel,
      snrDb,
      sent: 200,
      right,
      wrong: 0,
      textbookRight: 50,
    });
    const data = [
      ...[
        point('white', -3, 200),
        point('white', -4, 200),
        point('moderate', -4, 110),
        point('disturbed', -4, 195),
      ],
      ...[point('white', -8, 8), point('moderate', -8, 0), point('disturbed', -8, 4), point('five', -8, 200)],
    ];
    const calibration = { data: { sent: 12_000, sure: 6_000, sureWrong: 2 } };
    writeFileSync(file, JSON.stringify({ decode: { data }, calibration }));
    const page = createExpect(file);
    rmSync(folder, { recursive: true });
    expect(page).toContain('| −4 dB | all | 6 of 10 | nearly all |\n| −8 dB | few | none | few |\n\n');
    expect(page).not.toContain('−3 dB');
    // 517 in these six points against 300.
    expect(page).toContain('that is 1.7 times what');
    expect(page).toContain('and of those 2 were wrong');
  });
});

describe('what a search finds', () => {
  it('is each section of a page, with its words and the way to it', () => {
    const html =
      '<main><h1>Calls</h1><nav><a>Area</a></nav><p>All of  them.</p><h2 id="area">Area</h2><ul><li>102</li></ul><table><td>north</td></table></main>';
    expect(placesOf('calls.html', html)).toEqual([
      { page: 'Calls', title: 'Calls', url: 'calls.html', text: 'All of them.' },
      { page: 'Calls', title: 'Area', url: 'calls.html#area', text: '102 · north' },
    ]);
  });
});

describe('a page of the reference', () => {
  it('is made readable: a main landmark, headings in steps of one, icons of its own', () => {
    const page =
      '<div class="col-content"><h1>A</h1><h4 class="x">B</h4><h5>C</h5><h4>D</h4><h2>E</h2><h3>F</h3></div>';
    const levels = [...madeReadable(page).matchAll(/<h(\d)(?: aria-level="(\d)")?/g)];
    // h4 below h1 is of level 2, and what stands below it of level 3.
    expect(
      levels.map(([, ...digits]) => digits.findLast((digit: string | undefined) => digit !== undefined)),
    ).toEqual(['1', '2', '3', '2', '2', '3']);
    expect(madeReadable(page)).toContain('<div class="col-content" role="main">');
    const opens =
      '<summary>Words<a href="#words" class="tsd-anchor-icon">#</a></summary><p><a href="#x">x</a></p>';
    expect(madeReadable(opens)).toBe('<summary>Words</summary><p><a href="#x">x</a></p>');
    expect(madeReadable('<use href="../assets/icons.svg#icon-menu">')).toBe('<use href="#icon-menu">');
  });
});
