/**
 * What a search over the documents finds: each section of each page, and everything public in the library.
 */
import { parseHTML } from 'linkedom';

/** A place that can be found. */
export interface Place {
  /** The page, as people call it. */
  readonly page: string;
  readonly title: string;
  readonly url: string;
  readonly text: string;
}

/** The page that searches. */
export const SEARCH_PAGE = `# Search

<form class="search large" role="search" action="search.html"><label for="query">Words, numbers, names of functions</label> <input id="query" type="search" name="q" autocomplete="off" maxlength="200"> <button>Find</button></form>
<noscript><p>The search runs in this page by JavaScript, which is switched off here.</p></noscript>
<p id="count" role="status"></p>
<ol id="found"></ol>

Guides, references, glossary and the library are searched, here in the page: no word that you look for leaves it.
`;

const clean = (text: string) => text.replace(/\s+/g, ' ').trim();

/** The sections of a page: what stands below each of its headings. */
export function placesOf(file: string, html: string): Place[] {
  const { document } = parseHTML(html);
  const main = document.querySelector('main');
  const page = clean(main?.querySelector('h1')?.textContent ?? file);
  const found: { title: string; url: string; texts: string[] }[] = [];
  for (const element of main?.querySelectorAll('h1, h2, h3, p, li, pre, td, th, figcaption, summary') ?? []) {
    if (element.closest('nav')) continue;
    const text = clean(element.textContent);
    if (/^h\d$/i.test(element.tagName)) {
      const isTitle = /^h1$/i.test(element.tagName);
      found.push({ title: text, url: isTitle ? file : `${file}#${element.id}`, texts: [] });
    } else if (!element.querySelector('p, li, pre')) {
      found.at(-1)?.texts.push(text);
    }
  }
  return found.map(({ title, url, texts }) => ({ page, title, url, text: texts.join(' · ') }));
}

/** The places as a script: a page on disk may load that, but no data. */
export function searchDocuments(places: readonly Place[]): string {
  return `globalThis.dotphasePlaces=${JSON.stringify(places)};\n`;
}
