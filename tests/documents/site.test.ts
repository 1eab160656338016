/**
 * What builds the documents: links that lead nowhere are found, and Markdown becomes pages that all can read.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { layOut } from '../../docs/build/layout.js';
import { checkLinks } from '../../docs/build/links.js';
import { toHtml } from '../../docs/build/markdown.js';

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

describe('a document', () => {
  it('links to the pages that other documents become', () => {
    expect(toHtml('[a](glossary.md#dx-and-rx), [b](https://example.org/c.md)')).toBe(
      '<p><a href="glossary.html#dx-and-rx">a</a>, <a href="https://example.org/c.md">b</a></p>\n',
    );
  });

  it('gives each of its tables a name, and no heading to a column without one', () => {
    const html = toHtml('## Words\n\n| a | |\n|---|---|\n| 1 | 2 |\n\n| b |\n|---|\n| 3 |\n');
    expect(html).toContain('aria-label="Words"');
    expect(html).toContain('aria-label="Words, table 2"');
    expect(html.match(/<th>/g)).toHaveLength(2);
  });

  it('becomes a page with its title, its place in the menu and the cautions', () => {
    const page = layOut('glossary', '# Glossary\n');
    expect(page).toContain('<title>Glossary · dotphase</title>');
    expect(page.match(/aria-current="page"/g)).toHaveLength(1);
    expect(page).toContain('A decoded distress alert is not a watch.');
  });
});
